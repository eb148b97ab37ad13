-- What became of each reading: loaded, a copy, an older version, or quarantined.
-- grain: one row per reading written in a source.
-- counts: the key is job, visit and sequence number; without one, job, visit, test point and the
--         how-manieth different reading there. The newest usable version is loaded; its exact
--         copies are duplicates.
INSERT INTO core.reading_rows BY NAME
WITH firsts AS (
    SELECT
        source_id,
        content_hash,
        min(row_id) AS first_row,
        min(item_no) AS first_item,
        any_value(job_id) AS job_id,
        any_value(visit_no) AS visit_no,
        any_value(seq) AS seq,
        any_value(written_point) AS written_point,
    FROM staged.parsed_readings
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
            CASE
                WHEN seq IS NOT NULL THEN seq::VARCHAR
                ELSE core.folded(written_point) || chr(31) || row_number() OVER (
                    PARTITION BY source_id, job_id, visit_no, seq IS NULL, core.folded(written_point)
                    ORDER BY first_row, first_item
                )
            END
        ) AS reading_key,
    FROM firsts
),

keyed AS (
    SELECT
        readings.row_id,
        readings.item_no,
        readings.source_id,
        readings.row_no,
        readings.job_id,
        readings.problems,
        readings.content_hash,
        readings.mends,
        numbered.reading_key,
    FROM staged.parsed_readings AS readings
    LEFT JOIN numbered
        ON readings.source_id = numbered.source_id
        AND readings.content_hash = numbered.content_hash
),

versions AS (
    SELECT
        reading_key,
        content_hash,
        bool_or(problems = '') AS is_usable,
        coalesce(
            min(CASE WHEN problems = '' THEN row_id * 1000 + item_no END),
            min(row_id * 1000 + item_no)
        ) AS first_row,
        max(row_id * 1000 + item_no) AS last_row,
    FROM keyed
    WHERE reading_key IS NOT NULL
    GROUP BY reading_key, content_hash
),

newest AS (
    SELECT reading_key, max(last_row) AS last_row
    FROM versions
    WHERE is_usable
    GROUP BY reading_key
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
    ON keyed.reading_key = versions.reading_key AND keyed.content_hash = versions.content_hash
LEFT JOIN newest ON keyed.reading_key = newest.reading_key
LEFT JOIN mended ON mended.reference = keyed.source_id || '-' || keyed.row_no
ORDER BY keyed.row_id, keyed.item_no;
