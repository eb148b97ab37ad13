-- The jobs behind a number.
-- grain: one row per closed job.
-- unit: minutes; money in the shop's currency.
SELECT
    job_id,
    closed_on,
    branch,
    technician,
    appliance_kind,
    symptom,
    final_cause AS cause,
    repair_code,
    disposition,
    attended_visits,
    labour_min,
    charged,
    callback_job,
    callback_days,
FROM core.jobs_in(
    $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, $group_by
)
WHERE ($group_value::VARCHAR IS NULL OR group_name = $group_value::VARCHAR)
    AND ($disposition::VARCHAR IS NULL OR disposition = $disposition::VARCHAR)
    AND (
        $cause::VARCHAR IS NULL
        OR $cause::VARCHAR = coalesce(
            CASE WHEN $use_recorded THEN recorded_cause ELSE final_cause END,
            CASE WHEN disposition = 'no_fault_found' THEN 'no_fault_found' ELSE 'not recorded' END
        )
    )
ORDER BY closed_on DESC, job_id;
