-- The part lines that are not loaded, and why: a copy, an older version, or quarantined.
-- grain: one row per part line written in a source that is not in core.part_lines.
-- counts: the key is job, visit, part number and the how-manieth different line of it there.
--         The newest usable version is loaded; its exact copies are duplicates. Only keys that more
--         than one row has need the comparison.
CREATE TABLE staged.part_lines_left_out AS
WITH repeated AS (
    SELECT row_key
    FROM staged.part_lines
    WHERE job_id IS NOT NULL
    GROUP BY row_key
    HAVING count(*) > 1
),

several AS (
    SELECT
        part_lines.row_id,
        part_lines.item_no,
        part_lines.source_id,
        part_lines.job_id,
        part_lines.row_key,
        part_lines.content_hash,
        part_lines.problems,
    FROM staged.part_lines AS part_lines
    INNER JOIN repeated ON part_lines.row_key = repeated.row_key
    WHERE part_lines.job_id IS NOT NULL
),

firsts AS (
    SELECT
        source_id,
        job_id,
        row_key,
        content_hash,
        min(row_id) AS first_row,
        min(item_no) AS first_item,
    FROM several
    GROUP BY source_id, job_id, row_key, content_hash
),

numbered AS (
    SELECT
        source_id,
        job_id,
        row_key,
        content_hash,
        row_number() OVER (
            PARTITION BY source_id, job_id, row_key ORDER BY first_row, first_item
        ) AS place,
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

mended AS (
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
        part_lines.problems,
        CASE
            WHEN compared.row_id IS NULL AND part_lines.problems = '' THEN 'loaded'
            WHEN compared.last_place = compared.newest_place
            THEN CASE WHEN compared.is_first THEN 'loaded' ELSE 'duplicate' END
            WHEN compared.newest_place > compared.last_place OR mended.reference IS NOT NULL
            THEN 'superseded'
            ELSE 'quarantined'
        END AS status,
    FROM staged.part_lines AS part_lines
    LEFT JOIN compared
        ON part_lines.row_id = compared.row_id AND part_lines.item_no = compared.item_no
    LEFT JOIN mended ON mended.reference = part_lines.source_id || '-' || part_lines.row_no
)

SELECT row_id, item_no, source_id, row_no, problems, status,
FROM statuses
WHERE status <> 'loaded';
