-- The jobs that took a further visit for one reason.
-- grain: one row per job.
SELECT DISTINCT jobs.job_id, jobs.closed_on,
FROM core.jobs_in(
    $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, NULL
) AS jobs
INNER JOIN core.visits AS visits ON jobs.job_id = visits.job_id
WHERE jobs.attended_visits > 1
    AND visits.is_attended
    AND visits.repeat_reason = $reason
    AND visits.outcome <> 'completed'
ORDER BY jobs.closed_on DESC, jobs.job_id;
