-- Which job numbers are known, which of them are loaded, and on what appliance.
-- grain: one row per job number that any row names.
CREATE TABLE staged.job_keys AS
WITH known AS (
    SELECT DISTINCT job_id
    FROM staged.jobs
    WHERE job_id IS NOT NULL
)

SELECT
    known.job_id,
    jobs.job_id IS NOT NULL AS is_loaded,
    jobs.appliance_kind,
FROM known
LEFT JOIN core.jobs AS jobs ON known.job_id = jobs.job_id;
