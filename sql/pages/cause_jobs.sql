-- The jobs of one complaint with one root cause, or with any.
-- grain: one row per job, newest first.
-- unit: minutes; money in the shop's currency; whole days.
-- counts: the jobs of root_cause_mix: repaired and no-fault-found, of $kind and $complaint.
WITH jobs AS (
    SELECT
        *,
        coalesce(
            CASE WHEN coalesce($use_recorded::BOOLEAN, FALSE) THEN recorded_cause ELSE final_cause END,
            CASE WHEN disposition = 'no_fault_found' THEN 'no_fault_found' ELSE 'not recorded' END
        ) AS counted_cause,
    FROM core.jobs_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, NULL
    )
    WHERE disposition IN ('repaired', 'no_fault_found')
)

SELECT
    job_id,
    closed_on,
    technician,
    appliance_kind,
    symptom,
    counted_cause AS cause,
    attended_visits,
    labour_min,
    charged,
    callback_days,
FROM jobs
WHERE ($kind::VARCHAR IS NULL OR appliance_kind = $kind::VARCHAR)
    AND ($complaint::VARCHAR IS NULL OR symptom = $complaint::VARCHAR)
    AND ($cause::VARCHAR IS NULL OR counted_cause = $cause::VARCHAR)
ORDER BY closed_on DESC, job_id;
