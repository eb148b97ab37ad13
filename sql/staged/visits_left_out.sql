-- The visit rows that are not loaded, and why: a copy, an older version, or quarantined.
-- grain: one row per source row of a visits table that is not in core.visits.
-- counts: as staged.jobs_left_out, by job number and visit number; a visit follows its job.
CREATE TABLE staged.visits_left_out AS
WITH repeated AS (
    SELECT job_id, visit_no
    FROM staged.visits
    WHERE job_id IS NOT NULL AND visit_no IS NOT NULL
    GROUP BY job_id, visit_no
    HAVING count(*) > 1
),

versions AS (
    SELECT
        visits.job_id,
        visits.visit_no,
        visits.content_hash,
        bool_or(visits.problems = '') AS is_usable,
        coalesce(min(CASE WHEN visits.problems = '' THEN visits.row_id END), min(visits.row_id))
            AS first_row,
        max(visits.row_id) AS last_row,
    FROM staged.visits AS visits
    INNER JOIN repeated
        ON visits.job_id = repeated.job_id AND visits.visit_no = repeated.visit_no
    GROUP BY visits.job_id, visits.visit_no, visits.content_hash
),

newest AS (
    SELECT job_id, visit_no, max(last_row) AS last_row
    FROM versions
    WHERE is_usable
    GROUP BY job_id, visit_no
),

mended AS (
    SELECT DISTINCT mends AS reference
    FROM staged.visits
    WHERE mends IS NOT NULL
),

statuses AS (
    SELECT
        visits.row_id,
        visits.source_id,
        visits.row_no,
        visits.job_id,
        visits.problems,
        CASE
            WHEN versions.job_id IS NULL AND visits.problems = '' THEN 'loaded'
            WHEN versions.last_row = newest.last_row
            THEN CASE WHEN visits.row_id = versions.first_row THEN 'loaded' ELSE 'duplicate' END
            WHEN newest.last_row > versions.last_row OR mended.reference IS NOT NULL
            THEN 'superseded'
            ELSE 'quarantined'
        END AS status,
    FROM staged.visits AS visits
    LEFT JOIN versions
        ON visits.job_id = versions.job_id
        AND visits.visit_no = versions.visit_no
        AND visits.content_hash = versions.content_hash
    LEFT JOIN newest ON visits.job_id = newest.job_id AND visits.visit_no = newest.visit_no
    LEFT JOIN mended ON mended.reference = visits.source_id || '-' || visits.row_no
)

SELECT row_id, source_id, row_no, job_id, problems, status,
FROM statuses
WHERE status <> 'loaded';
