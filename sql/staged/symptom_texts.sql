-- Which complaint code each written complaint means.
-- grain: one row per mapping, appliance kind and written text; symptom NULL = not understood.
-- counts: own words first, then the whole text, then the longest known phrase in it, whole words
--         only; two codes for one longest phrase are no answer.
CREATE TABLE staged.symptom_texts AS
WITH texts AS (
    SELECT DISTINCT mapping, appliance_kind, symptom AS text, core.folded(symptom) AS word
    FROM staged.jobs
    WHERE symptom IS NOT NULL AND appliance_kind IS NOT NULL
),

phrases AS (
    SELECT
        texts.mapping,
        texts.appliance_kind,
        texts.text,
        vocabulary.id,
        dense_rank() OVER (
            PARTITION BY texts.mapping, texts.appliance_kind, texts.text
            ORDER BY length(vocabulary.word) DESC
        ) AS length_rank,
    FROM texts
    INNER JOIN core.vocabulary AS vocabulary
        ON vocabulary.mapping = ''
        AND vocabulary.field = 'symptom'
        AND vocabulary.kind = texts.appliance_kind
        AND strpos(' ' || texts.word || ' ', ' ' || vocabulary.word || ' ') > 0
),

longest AS (
    SELECT mapping, appliance_kind, text, min(id) AS id
    FROM phrases
    WHERE length_rank = 1
    GROUP BY mapping, appliance_kind, text
    HAVING count(DISTINCT id) = 1
)

SELECT
    texts.mapping,
    texts.appliance_kind,
    texts.text,
    coalesce(own_word.id, longest.id) AS symptom,
FROM texts
LEFT JOIN core.vocabulary AS own_word
    ON own_word.mapping = texts.mapping
    AND own_word.field = 'symptom'
    AND own_word.word = texts.word
LEFT JOIN longest
    ON longest.mapping = texts.mapping
    AND longest.appliance_kind = texts.appliance_kind
    AND longest.text = texts.text
ORDER BY texts.mapping, texts.appliance_kind, texts.text;
