-- The common filters over the parts that jobs needed: those of a period, branch, van, kind, complaint.
-- grain: one row per attended job and part number, or with part_no NULL.
-- counts: an empty list or NULL means all; the period includes both of its days. A technician is the
--         one whose van it was.
CREATE MACRO core.needs_in(
    from_arg, to_arg, branch_arg, technician_arg, kind_arg, symptom_arg
) AS TABLE
SELECT part_needs.*,
FROM core.part_needs AS part_needs
WHERE (from_arg IS NULL OR closed_on >= from_arg::DATE)
    AND (to_arg IS NULL OR closed_on <= to_arg::DATE)
    AND (coalesce(len(branch_arg::VARCHAR[]), 0) = 0 OR list_contains(branch_arg::VARCHAR[], branch))
    AND (
        coalesce(len(technician_arg::VARCHAR[]), 0) = 0
        OR list_contains(technician_arg::VARCHAR[], van)
    )
    AND (
        coalesce(len(kind_arg::VARCHAR[]), 0) = 0
        OR list_contains(kind_arg::VARCHAR[], appliance_kind)
    )
    AND (
        coalesce(len(symptom_arg::VARCHAR[]), 0) = 0
        OR list_contains(symptom_arg::VARCHAR[], symptom)
    );
