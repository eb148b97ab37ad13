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
    AND (from_arg IS NULL OR closed_on >= from_arg::DATE)
    AND (to_arg IS NULL OR closed_on <= to_arg::DATE)
    AND (coalesce(len(branch_arg::VARCHAR[]), 0) = 0 OR list_contains(branch_arg::VARCHAR[], branch))
    AND (
        coalesce(len(technician_arg::VARCHAR[]), 0) = 0
        OR list_contains(technician_arg::VARCHAR[], technician)
    )
    AND (
        coalesce(len(kind_arg::VARCHAR[]), 0) = 0
        OR list_contains(kind_arg::VARCHAR[], appliance_kind)
    )
    AND (
        coalesce(len(symptom_arg::VARCHAR[]), 0) = 0
        OR list_contains(symptom_arg::VARCHAR[], symptom)
    );
