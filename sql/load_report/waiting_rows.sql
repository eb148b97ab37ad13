-- The waiting rows of one source, as written, with their reasons.
-- grain: one row per source row; `reference` is what a corrected row says it replaces. A column that
--        the source's table has not is NULL.
WITH written AS (
    SELECT 'jobs' AS table_name, * FROM raw.jobs
    UNION ALL BY NAME
    SELECT 'visits' AS table_name, * FROM raw.visits
    UNION ALL BY NAME
    SELECT 'readings' AS table_name, * FROM raw.readings
    UNION ALL BY NAME
    SELECT 'part_lines' AS table_name, * FROM raw.part_lines
)
SELECT
    written.*,
    written.source_id || '-' || written.row_no AS reference,
    reasons.reasons,
FROM written
INNER JOIN core.waiting_reasons($table_name, $source_id) AS reasons
    ON written.row_id = reasons.row_id
WHERE written.table_name = $table_name
    AND written.source_id = $source_id
    AND coalesce(written.item_no, 0) = 0
ORDER BY written.row_id;
