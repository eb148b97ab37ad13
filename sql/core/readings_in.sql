-- The common filters over readings: those of a period, branch, technician, kind and complaint.
-- grain: one row per reading of a closed job.
-- counts: an empty list or NULL means all; the period includes both of its days. The technician is
--         the one who took the reading.
CREATE MACRO core.readings_in(
    from_arg, to_arg, branch_arg, technician_arg, kind_arg, symptom_arg
) AS TABLE
SELECT
    reading_facts.*,
    is_replaced AND NOT is_new_part AS is_condemned,
    value IS NOT NULL AND comparator = '' AS has_number,
FROM core.reading_facts AS reading_facts
WHERE closed_on IS NOT NULL
    AND core.is_in_period(from_arg, to_arg, closed_on)
    AND core.is_chosen(branch_arg, branch)
    AND core.is_chosen(technician_arg, technician)
    AND core.is_chosen(kind_arg, appliance_kind)
    AND core.is_chosen(symptom_arg, symptom);
