-- How many known sources of records had no readings in the last version and have some now?
-- grain: exactly one row, one column.
-- counts: then old jobs of that source can be asked for readings, and everything is rebuilt.
SELECT count(DISTINCT jobs.mapping) AS mappings
FROM after.core.readings AS readings
INNER JOIN after.core.jobs AS jobs ON readings.job_id = jobs.job_id
WHERE jobs.mapping IN (SELECT mapping FROM whole.core.jobs)
    AND jobs.mapping NOT IN (
        SELECT old_jobs.mapping
        FROM whole.core.jobs AS old_jobs
        INNER JOIN whole.core.job_facts AS facts
            ON old_jobs.job_id = facts.job_id AND facts.readings > 0
    );
