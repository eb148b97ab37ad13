-- Words that no vocabulary knows, most frequent first.
-- grain: one row per field, appliance kind and text.
SELECT field, appliance_kind, text, sum(rows)::BIGINT AS rows,
FROM core.unknown_words
GROUP BY field, appliance_kind, text
ORDER BY rows DESC, field, appliance_kind, text;
