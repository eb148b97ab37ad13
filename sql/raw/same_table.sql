-- The sources that hold the same bytes and sheet.
-- grain: one row per source.
SELECT source_id, mapping, columns_hash, rows_read,
FROM raw.sources
WHERE content_hash = $content_hash AND sheet IS NOT DISTINCT FROM $sheet
ORDER BY source_id;
