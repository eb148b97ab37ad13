-- What became of each job row: loaded, a copy, an older version, or quarantined.
-- grain: one row per source row of a jobs table.
-- counts: of one job number the newest row that can be used is loaded; its exact copies are
--         duplicates; other versions before it are superseded, unusable ones after it quarantined.
INSERT INTO core.job_rows BY NAME
WITH versions AS (
    SELECT
        job_id,
        content_hash,
        bool_or(problems = '') AS is_usable,
        coalesce(min(CASE WHEN problems = '' THEN row_id END), min(row_id)) AS first_row,
        max(row_id) AS last_row,
    FROM staged.jobs
    WHERE job_id IS NOT NULL
    GROUP BY job_id, content_hash
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
)

SELECT
    jobs.row_id,
    jobs.source_id,
    jobs.row_no,
    jobs.job_id,
    jobs.problems,
    CASE
        WHEN versions.last_row = newest.last_row
        THEN CASE WHEN jobs.row_id = versions.first_row THEN 'loaded' ELSE 'duplicate' END
        WHEN newest.last_row > versions.last_row OR mended.reference IS NOT NULL THEN 'superseded'
        ELSE 'quarantined'
    END AS status,
FROM staged.jobs AS jobs
LEFT JOIN versions
    ON jobs.job_id = versions.job_id AND jobs.content_hash = versions.content_hash
LEFT JOIN newest ON jobs.job_id = newest.job_id
LEFT JOIN mended ON mended.reference = jobs.source_id || '-' || jobs.row_no
ORDER BY jobs.row_id;
