-- Spellings that were joined to one name, by the shop's own confirmation or by its mapping's file.
-- grain: one row per mapping, field and spelling.
SELECT mapping, field, word AS spelling, id AS name, 1 AS is_accepted,
FROM raw.accepted_words
WHERE field IN ('technician', 'branch', 'brand', 'model', 'supplier')
UNION ALL
SELECT mapping, field, word, id, 0
FROM raw.words AS words
WHERE field IN ('technician', 'branch', 'brand', 'model', 'supplier')
    AND NOT EXISTS (
        SELECT 1 FROM raw.accepted_words AS accepted
        WHERE accepted.mapping = words.mapping
            AND accepted.field = words.field
            AND accepted.word = words.word
    )
ORDER BY field, name, spelling, mapping;
