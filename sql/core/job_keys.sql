-- Which job numbers are known, and which of them are loaded.
-- grain: one row per job number that any row names.
CREATE TABLE core.job_keys AS
SELECT
    job_id,
    bool_or(status = 'loaded') AS is_loaded,
FROM core.job_rows
WHERE job_id IS NOT NULL
GROUP BY job_id
ORDER BY job_id;
