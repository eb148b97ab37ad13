-- The closed jobs that one reason keeps out of the fix rates, or those counted.
-- grain: one row per job, newest first.
-- unit: minutes; money in the shop's currency; whole days.
-- counts: as exclusions: each job under the first reason that holds.
WITH jobs AS (
    SELECT
        *,
        core.why_counted(
            is_complaint,
            disposition,
            attended_visits,
            is_counted,
            days_since_closed,
            $window_days
        ) AS reason,
    FROM core.jobs_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, NULL
    )
)

SELECT
    job_id,
    closed_on,
    technician,
    appliance_kind,
    symptom,
    final_cause AS cause,
    attended_visits,
    labour_min,
    charged,
    callback_days,
FROM jobs
WHERE reason = $reason
ORDER BY closed_on DESC, job_id;
