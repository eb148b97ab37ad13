-- The sources that hold the same bytes and sheet.
-- grain: one row per source.
SELECT source_id, mapping, columns_hash,
FROM raw.sources
WHERE content_hash = $content_hash AND sheet IS NOT DISTINCT FROM $sheet
ORDER BY source_id;
