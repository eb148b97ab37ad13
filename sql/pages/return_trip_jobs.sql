-- The jobs with a return trip for one reason.
-- grain: one row per job, newest first.
-- unit: minutes; money in the shop's currency; whole days.
-- counts: the jobs of repeat_visits: an attended visit that ended with $reason, and a later one.
WITH attended AS (
    SELECT
        job_id,
        repeat_reason,
        lead(visit_no) OVER (PARTITION BY job_id ORDER BY visit_no) AS next_visit_no,
    FROM core.visits
    WHERE is_attended
),

chosen AS (
    SELECT DISTINCT job_id,
    FROM attended
    WHERE next_visit_no IS NOT NULL
        AND ($reason::VARCHAR IS NULL OR repeat_reason = $reason::VARCHAR)
)

SELECT
    jobs.job_id,
    jobs.closed_on,
    jobs.technician,
    jobs.appliance_kind,
    jobs.symptom,
    jobs.final_cause AS cause,
    jobs.attended_visits,
    jobs.labour_min,
    jobs.charged,
    jobs.callback_days,
FROM core.jobs_in(
    $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, NULL
) AS jobs
INNER JOIN chosen ON jobs.job_id = chosen.job_id
WHERE jobs.attended_visits > 1
ORDER BY jobs.closed_on DESC, jobs.job_id;
