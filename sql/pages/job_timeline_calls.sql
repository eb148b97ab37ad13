-- The calls that one job is linked with: the one it came back to, and those that came back to it.
-- grain: one row per linked job.
-- unit: whole days from the earlier job's closing to the later one's opening.
SELECT
    'callback on job' AS relation,
    links.first_job AS job_id,
    links.callback_days,
    jobs.opened_on,
    jobs.closed_on,
    jobs.technician,
    jobs.disposition,
    jobs.recorded_cause,
    jobs.appliance_kind,
FROM core.callback_links AS links
INNER JOIN core.job_facts AS jobs ON links.first_job = jobs.job_id
WHERE links.callback_job = $job_id::VARCHAR
UNION ALL
SELECT
    'came back as',
    links.callback_job,
    links.callback_days,
    jobs.opened_on,
    jobs.closed_on,
    jobs.technician,
    jobs.disposition,
    jobs.recorded_cause,
    jobs.appliance_kind,
FROM core.callback_links AS links
INNER JOIN core.job_facts AS jobs ON links.callback_job = jobs.job_id
WHERE links.first_job = $job_id::VARCHAR
ORDER BY 1 DESC, 4, 2;
