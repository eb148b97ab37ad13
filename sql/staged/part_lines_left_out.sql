-- The part lines that are not loaded, and why: a copy, an older version, or quarantined.
-- grain: one row per part line written in a source that is not in core.part_lines.
-- counts: the key is job, visit, part number and the n-th line of it in its source: equal lines of one
--         source add up, and the n-th of a later source is the n-th of the earlier again. The newest
--         usable version is loaded; its exact copies are duplicates. Only keys that more than one row
--         has need the comparison.
--         What stood in a cell of a job row follows that row.
CREATE TABLE staged.part_lines_left_out AS
WITH repeated AS (
    SELECT row_key
    FROM staged.part_lines AS part_lines
    LEFT JOIN staged.jobs_left_out AS own
        ON part_lines.row_id = own.row_id AND own.status <> 'loaded'
    WHERE part_lines.job_id IS NOT NULL AND own.row_id IS NULL
    GROUP BY row_key
    HAVING count(*) > 1
),

several AS (
    SELECT
        part_lines.row_id,
        part_lines.item_no,
        part_lines.source_id,
        part_lines.origin,
        part_lines.job_id,
        part_lines.row_key,
        part_lines.content_hash,
        part_lines.problems,
    FROM staged.part_lines AS part_lines
    INNER JOIN repeated ON part_lines.row_key = repeated.row_key
    LEFT JOIN staged.jobs_left_out AS own
        ON part_lines.row_id = own.row_id AND own.status <> 'loaded'
    WHERE part_lines.job_id IS NOT NULL AND own.row_id IS NULL
),

keyed AS (
    SELECT
        *,
        row_id * 1000 + item_no AS place_in_files,
        row_number() OVER (
            PARTITION BY
                source_id, job_id, row_key, CASE WHEN origin = 'column' THEN row_id ELSE 0 END
            ORDER BY row_id, item_no
        ) AS place,
    FROM several
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
    FROM staged.part_lines
    WHERE mends IS NOT NULL
),

statuses AS (
    SELECT
        part_lines.row_id,
        part_lines.item_no,
        part_lines.source_id,
        part_lines.row_no,
        CASE
            WHEN own.status = 'quarantined' THEN 'parent_quarantined@job_id'
            ELSE part_lines.problems
        END AS problems,
        CASE
            WHEN own.status IS NOT NULL THEN own.status
            WHEN compared.row_id IS NULL AND part_lines.problems = '' THEN 'loaded'
            WHEN compared.last_place = compared.newest_place
            THEN CASE WHEN compared.is_first THEN 'loaded' ELSE 'duplicate' END
            WHEN compared.newest_place > compared.last_place OR corrected.reference IS NOT NULL
            THEN 'superseded'
            ELSE 'quarantined'
        END AS status,
    FROM staged.part_lines AS part_lines
    LEFT JOIN compared
        ON part_lines.row_id = compared.row_id AND part_lines.item_no = compared.item_no
    LEFT JOIN staged.jobs_left_out AS own
        ON part_lines.row_id = own.row_id AND own.status <> 'loaded'
    LEFT JOIN corrected ON corrected.reference = part_lines.source_id || '-' || part_lines.row_no
)

SELECT row_id, item_no, source_id, row_no, problems, status,
FROM statuses
WHERE status <> 'loaded';
