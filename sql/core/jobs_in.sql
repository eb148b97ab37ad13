-- Every common filter in one place: the jobs of a period, branch, technician, kind and complaint.
-- grain: one row per closed job; `group_name` is what the jobs are grouped by.
-- counts: an empty list or NULL means all; the period includes both of its days.
CREATE MACRO core.jobs_in(
    from_arg, to_arg, branch_arg, technician_arg, kind_arg, symptom_arg, group_arg
) AS TABLE
SELECT
    job_facts.*,
    CASE group_arg
        WHEN 'month' THEN closed_month
        WHEN 'technician' THEN coalesce(technician, 'not recorded')
        WHEN 'branch' THEN coalesce(branch, 'not recorded')
        WHEN 'appliance_kind' THEN appliance_kind
        WHEN 'symptom' THEN symptom
        WHEN 'repair_code' THEN coalesce(repair_code, 'not recorded')
        WHEN 'cause' THEN coalesce(final_cause, 'not recorded')
        ELSE 'all'
    END AS group_name,
FROM core.job_facts AS job_facts
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
