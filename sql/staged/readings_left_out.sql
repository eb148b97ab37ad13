-- The reading rows that are not loaded, and why: a copy, an older version, or quarantined.
-- grain: one row per reading written in a source that is not in core.readings.
-- counts: the key is job, visit and sequence number; without one, job, visit, test point and the
--         n-th different reading there. The newest usable version is loaded; its exact
--         copies are duplicates. Only keys that more than one row has need the comparison.
--         What stood in a cell or the notes of a job row follows that row.
CREATE TABLE staged.readings_left_out AS
WITH repeated AS (
    SELECT row_key
    FROM staged.readings AS readings
    LEFT JOIN staged.jobs_left_out AS own
        ON readings.row_id = own.row_id AND own.status <> 'loaded'
    WHERE readings.job_id IS NOT NULL AND own.row_id IS NULL
    GROUP BY row_key
    HAVING count(*) > 1
),

several AS (
    SELECT
        readings.row_id,
        readings.item_no,
        readings.source_id,
        readings.job_id,
        readings.row_key,
        readings.seq,
        readings.content_hash,
        readings.problems,
    FROM staged.parsed_readings AS readings
    INNER JOIN repeated ON readings.row_key = repeated.row_key
    LEFT JOIN staged.jobs_left_out AS own
        ON readings.row_id = own.row_id AND own.status <> 'loaded'
    WHERE readings.job_id IS NOT NULL AND own.row_id IS NULL
),

firsts AS (
    SELECT
        source_id,
        job_id,
        row_key,
        seq,
        content_hash,
        min(row_id) AS first_row,
        min(item_no) AS first_item,
    FROM several
    GROUP BY source_id, job_id, row_key, seq, content_hash
),

numbered AS (
    SELECT
        source_id,
        job_id,
        row_key,
        content_hash,
        CASE WHEN seq IS NULL
            THEN row_number() OVER (
                PARTITION BY source_id, job_id, row_key ORDER BY first_row, first_item
            )
            ELSE 0
        END AS place,
    FROM firsts
),

keyed AS (
    SELECT
        several.row_id,
        several.item_no,
        several.row_id * 1000 + several.item_no AS place_in_files,
        several.job_id,
        several.row_key,
        numbered.place,
        several.content_hash,
        several.problems,
    FROM several
    INNER JOIN numbered
        ON several.source_id = numbered.source_id
        AND several.job_id = numbered.job_id
        AND several.row_key = numbered.row_key
        AND several.content_hash = numbered.content_hash
),

versions AS (
    SELECT
        job_id,
        row_key,
        place,
        content_hash,
        bool_or(problems = '') AS is_usable,
        coalesce(min(CASE WHEN problems = '' THEN place_in_files END), min(place_in_files))
            AS first_place,
        max(place_in_files) AS last_place,
    FROM keyed
    GROUP BY job_id, row_key, place, content_hash
),

newest AS (
    SELECT job_id, row_key, place, max(last_place) AS last_place
    FROM versions
    WHERE is_usable
    GROUP BY job_id, row_key, place
),

compared AS (
    SELECT
        keyed.row_id,
        keyed.item_no,
        keyed.place_in_files = versions.first_place AS is_first,
        versions.last_place,
        newest.last_place AS newest_place,
    FROM keyed
    INNER JOIN versions
        ON keyed.job_id = versions.job_id
        AND keyed.row_key = versions.row_key
        AND keyed.place = versions.place
        AND keyed.content_hash = versions.content_hash
    LEFT JOIN newest
        ON keyed.job_id = newest.job_id
        AND keyed.row_key = newest.row_key
        AND keyed.place = newest.place
),

corrected AS (
    SELECT DISTINCT mends AS reference
    FROM staged.readings
    WHERE mends IS NOT NULL
),

statuses AS (
    SELECT
        readings.row_id,
        readings.item_no,
        readings.source_id,
        readings.row_no,
        CASE
            WHEN own.status = 'quarantined' THEN 'parent_quarantined@job_id'
            ELSE readings.problems
        END AS problems,
        CASE
            WHEN own.status IS NOT NULL THEN own.status
            WHEN compared.row_id IS NULL AND readings.problems = '' THEN 'loaded'
            WHEN compared.last_place = compared.newest_place
            THEN CASE WHEN compared.is_first THEN 'loaded' ELSE 'duplicate' END
            WHEN compared.newest_place > compared.last_place OR corrected.reference IS NOT NULL
            THEN 'superseded'
            ELSE 'quarantined'
        END AS status,
    FROM staged.parsed_readings AS readings
    LEFT JOIN compared
        ON readings.row_id = compared.row_id AND readings.item_no = compared.item_no
    LEFT JOIN staged.jobs_left_out AS own
        ON readings.row_id = own.row_id AND own.status <> 'loaded'
    LEFT JOIN corrected ON corrected.reference = readings.source_id || '-' || readings.row_no
)

SELECT row_id, item_no, source_id, row_no, problems, status,
FROM statuses
WHERE status <> 'loaded';
