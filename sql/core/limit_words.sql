-- The words by which a record notes the type of a part, for each row of limits that asks for a type.
-- grain: one row per row of limits and word.
-- source: core.limits, column type_words.
CREATE TABLE core.limit_words AS
WITH words AS (
    SELECT limits_id, unnest(string_split(type_words, '|')) AS word
    FROM core.limits
    WHERE type_words IS NOT NULL
)

SELECT DISTINCT limits_id, core.folded(word) AS word FROM words ORDER BY limits_id, word;
