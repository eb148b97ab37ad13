-- The waiting rows of one source of readings, as written, with their reasons.
-- grain: one row per source row; `reference` is what a mended row says it mends.
WITH reasons AS (
    SELECT
        problems.row_id,
        string_agg(
            problems.code || ' in ' || problems.field || coalesce(': ' || problems.text, ''),
            '; ' ORDER BY problems.field, problems.code
        ) AS reasons,
    FROM core.problems AS problems
    WHERE problems.table_name = 'readings'
        AND problems.source_id = $source_id
        AND problems.item_no = 0
        AND NOT problems.is_row_kept
    GROUP BY problems.row_id
)

SELECT
    readings.*,
    readings.source_id || '-' || readings.row_no AS reference,
    reasons.reasons,
FROM raw.readings AS readings
INNER JOIN reasons ON readings.row_id = reasons.row_id
WHERE readings.source_id = $source_id AND readings.item_no = 0
ORDER BY readings.row_id;
