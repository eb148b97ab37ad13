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
    AND core.is_in_period(from_arg, to_arg, closed_on)
    AND core.is_chosen(branch_arg, branch)
    AND core.is_chosen(technician_arg, technician)
    AND core.is_chosen(kind_arg, appliance_kind)
    AND core.is_chosen(symptom_arg, symptom);
