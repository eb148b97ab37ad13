-- The sources that hold the same bytes and sheet for the same table.
-- grain: one row per source.
SELECT source_id, mapping, columns_hash, rows_read,
FROM raw.sources
WHERE content_hash = $content_hash
    AND sheet IS NOT DISTINCT FROM $sheet
    AND table_name = $table_name
ORDER BY source_id;
