-- Which complaint code each written complaint means.
-- grain: one row per mapping, appliance kind and written text; symptom NULL = not understood.
-- counts: own words first, then a known word that is the whole text, then its meaning (etl/words).
CREATE TABLE staged.symptom_texts AS
WITH texts AS (
    SELECT DISTINCT mapping, appliance_kind, symptom AS text, core.folded(symptom) AS word
    FROM staged.jobs
    WHERE symptom IS NOT NULL AND appliance_kind IS NOT NULL
)

SELECT
    texts.mapping,
    texts.appliance_kind,
    texts.text,
    coalesce(own_word.id, known_word.id, meanings.id) AS symptom,
FROM texts
LEFT JOIN core.vocabulary AS own_word
    ON own_word.mapping = texts.mapping
    AND own_word.field = 'symptom'
    AND own_word.word = texts.word
LEFT JOIN core.vocabulary AS known_word
    ON known_word.mapping = ''
    AND known_word.field = 'symptom'
    AND known_word.kind = texts.appliance_kind
    AND known_word.word = texts.word
LEFT JOIN staged.job_meanings AS meanings
    ON meanings.field = 'symptom'
    AND meanings.kind = texts.appliance_kind
    AND meanings.text = texts.text
ORDER BY texts.mapping, texts.appliance_kind, texts.text;
