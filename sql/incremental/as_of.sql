-- How long ago each job was closed, after the records got a later last day.
-- unit: whole days.
CREATE OR REPLACE TABLE core.job_facts AS
SELECT job_facts.* REPLACE (
    date_diff('day', job_facts.closed_on, dataset.as_of)::INTEGER AS days_since_closed,
    core.observed_days(job_facts.callback_days, job_facts.closed_on, dataset.as_of)
        AS observed_days
),
FROM core.job_facts AS job_facts
CROSS JOIN core.dataset AS dataset
ORDER BY job_facts.closed_on, job_facts.job_id;
