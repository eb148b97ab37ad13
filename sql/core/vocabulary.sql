-- Every word that means one id: those of the registers, and each mapping's own and accepted words.
-- grain: one row per mapping ('' = everybody's), field, kind ('' = any) and folded word.
-- counts: an accepted word goes before one of the mapping's file; a word that could mean several ids is
--         left out.
CREATE TABLE core.vocabulary AS
WITH declared AS (
    SELECT mapping, field, core.folded(word) AS word, id, 1 AS rank FROM raw.accepted_words
    UNION ALL
    SELECT mapping, field, core.folded(word), id, 2 FROM raw.words
),

newest AS (
    SELECT mapping, field, word, id,
    FROM declared
    QUALIFY rank() OVER (PARTITION BY mapping, field, word ORDER BY rank) = 1
),

own_words AS (
    SELECT mapping, field, word, min(id) AS id
    FROM newest
    GROUP BY mapping, field, word
    HAVING count(DISTINCT id) = 1
)

SELECT '' AS mapping, field, kind, word, id FROM lookups.register_words
UNION ALL
SELECT mapping, field, '', word, id FROM own_words
ORDER BY mapping, field, kind, word;
