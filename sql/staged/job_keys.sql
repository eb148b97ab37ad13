-- Which job numbers are known, which of them are loaded, and on what appliance.
-- grain: one row per numbering and job number that any job row has; job_id is how it is shown.
CREATE TABLE staged.job_keys AS
WITH known AS (
    SELECT DISTINCT job_id, job_number, numbering
    FROM staged.jobs
    WHERE job_id IS NOT NULL
)

SELECT
    known.job_id,
    known.job_number,
    known.numbering,
    jobs.job_id IS NOT NULL AS is_loaded,
    jobs.appliance_kind,
FROM known
LEFT JOIN core.jobs AS jobs ON known.job_id = jobs.job_id;
