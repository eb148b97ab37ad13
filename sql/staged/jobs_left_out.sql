-- The job rows that are not loaded, and why: a copy, an older version, or quarantined.
-- grain: one row per source row of a jobs table that is not in core.jobs.
-- counts: of one job number the newest row that can be used is loaded; its exact copies are
--         duplicates; other versions before it are superseded, unusable ones after it quarantined.
--         Only job numbers that more than one row names need the comparison of versions.
CREATE TABLE staged.jobs_left_out AS
WITH repeated AS (
    SELECT job_id
    FROM staged.jobs
    WHERE job_id IS NOT NULL
    GROUP BY job_id
    HAVING count(*) > 1
),

versions AS (
    SELECT
        jobs.job_id,
        jobs.content_hash,
        bool_or(jobs.problems = '') AS is_usable,
        coalesce(min(CASE WHEN jobs.problems = '' THEN jobs.row_id END), min(jobs.row_id))
            AS first_row,
        max(jobs.row_id) AS last_row,
    FROM staged.jobs AS jobs
    INNER JOIN repeated ON jobs.job_id = repeated.job_id
    GROUP BY jobs.job_id, jobs.content_hash
),

newest AS (
    SELECT job_id, max(last_row) AS last_row
    FROM versions
    WHERE is_usable
    GROUP BY job_id
),

mended AS (
    SELECT DISTINCT mends AS reference
    FROM staged.jobs
    WHERE mends IS NOT NULL
),

statuses AS (
    SELECT
        jobs.row_id,
        jobs.source_id,
        jobs.row_no,
        jobs.problems,
        CASE
            WHEN versions.job_id IS NULL AND jobs.problems = '' THEN 'loaded'
            WHEN versions.last_row = newest.last_row
            THEN CASE WHEN jobs.row_id = versions.first_row THEN 'loaded' ELSE 'duplicate' END
            WHEN newest.last_row > versions.last_row OR mended.reference IS NOT NULL
            THEN 'superseded'
            ELSE 'quarantined'
        END AS status,
    FROM staged.jobs AS jobs
    LEFT JOIN versions
        ON jobs.job_id = versions.job_id AND jobs.content_hash = versions.content_hash
    LEFT JOIN newest ON jobs.job_id = newest.job_id
    LEFT JOIN mended ON mended.reference = jobs.source_id || '-' || jobs.row_no
)

SELECT row_id, source_id, row_no, problems, status,
FROM statuses
WHERE status <> 'loaded';
