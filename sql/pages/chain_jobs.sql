-- The jobs of one complaint that have readings, newest first.
-- grain: one row per job.
-- counts: readings at a known test point.
SELECT jobs.job_id, jobs.closed_on, count(*) AS readings,
FROM core.jobs_in(
    $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, NULL
) AS jobs
INNER JOIN core.reading_facts AS readings ON jobs.job_id = readings.job_id
WHERE jobs.appliance_kind = $kind::VARCHAR AND jobs.symptom = $complaint::VARCHAR
GROUP BY jobs.job_id, jobs.closed_on
ORDER BY jobs.closed_on DESC, jobs.job_id;
