-- What became of each visit row: loaded, a copy, an older version, or quarantined.
-- grain: one row per source row of a visits table.
-- counts: as core.job_rows, by job number and visit number; a visit follows its job.
INSERT INTO core.visit_rows BY NAME
WITH checked AS (
    SELECT
        visits.row_id,
        visits.source_id,
        visits.row_no,
        visits.job_id,
        visits.visit_no,
        visits.content_hash,
        visits.mends,
        trim(visits.problems || CASE
            WHEN job_keys.is_loaded OR visits.job_id IS NULL THEN ''
            WHEN job_keys.job_id IS NULL THEN ' no_such_job@job_id'
            ELSE ' parent_quarantined@job_id'
        END) AS problems,
    FROM staged.visits AS visits
    LEFT JOIN core.job_keys AS job_keys ON visits.job_id = job_keys.job_id
),

versions AS (
    SELECT
        job_id,
        visit_no,
        content_hash,
        bool_or(problems = '') AS is_usable,
        coalesce(min(CASE WHEN problems = '' THEN row_id END), min(row_id)) AS first_row,
        max(row_id) AS last_row,
    FROM checked
    WHERE job_id IS NOT NULL AND visit_no IS NOT NULL
    GROUP BY job_id, visit_no, content_hash
),

newest AS (
    SELECT job_id, visit_no, max(last_row) AS last_row
    FROM versions
    WHERE is_usable
    GROUP BY job_id, visit_no
),

mended AS (
    SELECT DISTINCT mends AS reference
    FROM checked
    WHERE mends IS NOT NULL
)

SELECT
    checked.row_id,
    checked.source_id,
    checked.row_no,
    checked.job_id,
    checked.visit_no,
    checked.problems,
    CASE
        WHEN versions.last_row = newest.last_row
        THEN CASE WHEN checked.row_id = versions.first_row THEN 'loaded' ELSE 'duplicate' END
        WHEN newest.last_row > versions.last_row OR mended.reference IS NOT NULL THEN 'superseded'
        ELSE 'quarantined'
    END AS status,
FROM checked
LEFT JOIN versions
    ON checked.job_id = versions.job_id
    AND checked.visit_no = versions.visit_no
    AND checked.content_hash = versions.content_hash
LEFT JOIN newest
    ON checked.job_id = newest.job_id AND checked.visit_no = newest.visit_no
LEFT JOIN mended ON mended.reference = checked.source_id || '-' || checked.row_no
ORDER BY checked.row_id;
