-- The waiting rows of one source of part lines, as written, with their reasons.
-- grain: one row per source row; `reference` is what a corrected row says it replaces.
SELECT
    part_lines.*,
    part_lines.source_id || '-' || part_lines.row_no AS reference,
    reasons.reasons,
FROM raw.part_lines AS part_lines
INNER JOIN core.waiting_reasons('part_lines', $source_id) AS reasons
    ON part_lines.row_id = reasons.row_id
WHERE part_lines.source_id = $source_id AND part_lines.item_no = 0
ORDER BY part_lines.row_id;
