-- The waiting rows of one source of part lines, as written, with their reasons.
-- grain: one row per source row; `reference` is what a mended row says it mends.
WITH reasons AS (
    SELECT
        problems.row_id,
        string_agg(
            problems.code || ' in ' || problems.field || coalesce(': ' || problems.text, ''),
            '; ' ORDER BY problems.field, problems.code
        ) AS reasons,
    FROM core.problems AS problems
    WHERE problems.table_name = 'part_lines'
        AND problems.source_id = $source_id
        AND problems.item_no = 0
        AND NOT problems.is_row_kept
    GROUP BY problems.row_id
)

SELECT
    part_lines.*,
    part_lines.source_id || '-' || part_lines.row_no AS reference,
    reasons.reasons,
FROM raw.part_lines AS part_lines
INNER JOIN reasons ON part_lines.row_id = reasons.row_id
WHERE part_lines.source_id = $source_id AND part_lines.item_no = 0
ORDER BY part_lines.row_id;
