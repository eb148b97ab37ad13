-- What became of each part line: loaded, a copy, an older version, or quarantined.
-- grain: one row per part line written in a source.
-- counts: the key is job, visit, part number and the how-manieth different line of it there.
--         The newest usable version is loaded; its exact copies are duplicates.
INSERT INTO core.part_rows BY NAME
WITH firsts AS (
    SELECT
        source_id,
        content_hash,
        min(row_id) AS first_row,
        min(item_no) AS first_item,
        any_value(job_id) AS job_id,
        any_value(visit_no) AS visit_no,
        any_value(part_no) AS part_no,
    FROM staged.part_lines
    WHERE job_id IS NOT NULL
    GROUP BY source_id, content_hash
),

numbered AS (
    SELECT
        source_id,
        content_hash,
        concat_ws(
            chr(31),
            job_id,
            coalesce(visit_no::VARCHAR, ''),
            coalesce(part_no, ''),
            row_number() OVER (
                PARTITION BY source_id, job_id, visit_no, part_no
                ORDER BY first_row, first_item
            )
        ) AS line_key,
    FROM firsts
),

keyed AS (
    SELECT
        part_lines.row_id,
        part_lines.item_no,
        part_lines.source_id,
        part_lines.row_no,
        part_lines.job_id,
        part_lines.problems,
        part_lines.content_hash,
        part_lines.mends,
        numbered.line_key,
    FROM staged.part_lines AS part_lines
    LEFT JOIN numbered
        ON part_lines.source_id = numbered.source_id
        AND part_lines.content_hash = numbered.content_hash
),

versions AS (
    SELECT
        line_key,
        content_hash,
        bool_or(problems = '') AS is_usable,
        coalesce(
            min(CASE WHEN problems = '' THEN row_id * 1000 + item_no END),
            min(row_id * 1000 + item_no)
        ) AS first_row,
        max(row_id * 1000 + item_no) AS last_row,
    FROM keyed
    WHERE line_key IS NOT NULL
    GROUP BY line_key, content_hash
),

newest AS (
    SELECT line_key, max(last_row) AS last_row
    FROM versions
    WHERE is_usable
    GROUP BY line_key
),

mended AS (
    SELECT DISTINCT mends AS reference
    FROM keyed
    WHERE mends IS NOT NULL
)

SELECT
    keyed.row_id,
    keyed.item_no,
    keyed.source_id,
    keyed.row_no,
    keyed.job_id,
    keyed.problems,
    CASE
        WHEN versions.last_row = newest.last_row
        THEN CASE
            WHEN keyed.row_id * 1000 + keyed.item_no = versions.first_row THEN 'loaded'
            ELSE 'duplicate'
        END
        WHEN newest.last_row > versions.last_row OR mended.reference IS NOT NULL THEN 'superseded'
        ELSE 'quarantined'
    END AS status,
FROM keyed
LEFT JOIN versions
    ON keyed.line_key = versions.line_key AND keyed.content_hash = versions.content_hash
LEFT JOIN newest ON keyed.line_key = newest.line_key
LEFT JOIN mended ON mended.reference = keyed.source_id || '-' || keyed.row_no
ORDER BY keyed.row_id, keyed.item_no;
