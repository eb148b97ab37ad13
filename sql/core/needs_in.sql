-- The common filters over the parts that jobs needed: those of a period, branch, van, kind, complaint.
-- grain: one row per attended job and part number, or with part_no NULL.
-- counts: an empty list or NULL means all; the period includes both of its days. A technician is the
--         one whose van it was.
CREATE MACRO core.needs_in(
    from_arg, to_arg, branch_arg, technician_arg, kind_arg, symptom_arg
) AS TABLE
SELECT part_needs.*,
FROM core.part_needs AS part_needs
WHERE core.is_in_period(from_arg, to_arg, closed_on)
    AND core.is_chosen(branch_arg, branch)
    AND core.is_chosen(technician_arg, van)
    AND core.is_chosen(kind_arg, appliance_kind)
    AND core.is_chosen(symptom_arg, symptom);
