-- The waiting rows of one source of readings, as written, with their reasons.
-- grain: one row per source row; `reference` is what a corrected row says it replaces.
SELECT
    readings.*,
    readings.source_id || '-' || readings.row_no AS reference,
    reasons.reasons,
FROM raw.readings AS readings
INNER JOIN core.waiting_reasons('readings', $source_id) AS reasons
    ON readings.row_id = reasons.row_id
WHERE readings.source_id = $source_id AND readings.item_no = 0
ORDER BY readings.row_id;
