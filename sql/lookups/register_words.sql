-- Every word of the registers that means one id: ids, labels, synonyms, the words for parts.
-- grain: one row per field, kind ('' = any) and folded word.
-- counts: an id means itself, then come labels, synonyms, the words for parts in every
--         language; a word that could mean several ids
--         of one kind is left out: it refuses, it does not guess.
CREATE TABLE lookups.register_words AS
WITH entries AS (
    SELECT 'appliance_kind' AS field, '' AS kind, kind AS id, label, synonyms FROM lookups.kinds
    UNION ALL
    SELECT 'disposition', '', disposition, label, synonyms FROM lookups.dispositions
    UNION ALL
    SELECT 'outcome', '', outcome, label, synonyms FROM lookups.visit_outcomes
    UNION ALL
    SELECT 'line_type', '', line_type, label, synonyms FROM lookups.line_types
    UNION ALL
    SELECT 'yes_no', '', answer, label, synonyms FROM lookups.yes_no
    UNION ALL
    SELECT 'symptom', kind, symptom, label, synonyms FROM lookups.symptoms
    UNION ALL
    SELECT 'root_cause', kind, cause, label, synonyms FROM lookups.causes
    UNION ALL
    SELECT 'repair_code', kind, repair, label, NULL FROM lookups.repair_codes
    UNION ALL
    SELECT 'component', '', component, NULL, NULL FROM lookups.components
    UNION ALL
    SELECT 'component', unnest(string_split(kinds, '|')), component, label, synonyms
    FROM lookups.components
    UNION ALL
    SELECT
        'test_point', unnest(string_split(kinds, '|')), test_point, NULL, synonyms
    FROM lookups.test_points
),

spoken AS (
    SELECT field, kind, id, unnest(string_split(synonyms, '|')) AS synonym
    FROM entries
    WHERE synonyms IS NOT NULL
),

part_words AS (
    SELECT
        unnest(string_split(components.kinds, '|')) AS kind,
        component_words.component AS id,
        component_words.word,
    FROM (
        SELECT component, unnest(string_split(words, '|')) AS word FROM lookups.component_words
    ) AS component_words
    INNER JOIN lookups.components AS components
        ON component_words.component = components.component
),

written AS (
    SELECT field, kind, id, id AS text, 1 AS rank FROM entries
    UNION ALL
    SELECT field, kind, id, label, 2 FROM entries WHERE label IS NOT NULL
    UNION ALL
    SELECT field, kind, id, synonym, 3 FROM spoken
    UNION ALL
    SELECT 'component', kind, id, word, 4 FROM part_words
),

texts AS (
    SELECT text, core.folded(text) AS word FROM (SELECT DISTINCT text FROM written) AS different
),

words AS (
    SELECT DISTINCT written.field, written.kind, written.id, texts.word, written.rank,
    FROM written
    INNER JOIN texts ON written.text = texts.text
),

strongest AS (
    SELECT words.field, words.kind, words.word, words.id,
    FROM words
    LEFT JOIN lookups.ambiguous_words AS ambiguous_words
        ON words.field = 'component'
        AND words.rank > 1
        AND ambiguous_words.kind = words.kind
        AND core.folded(ambiguous_words.word) = words.word
    WHERE ambiguous_words.word IS NULL
    QUALIFY rank() OVER (PARTITION BY words.field, words.kind, words.word ORDER BY words.rank) = 1
),

unambiguous AS (
    SELECT field, kind, word, min(id) AS id
    FROM strongest
    GROUP BY field, kind, word
    HAVING count(DISTINCT id) = 1 AND min(length(word)) > 0  -- word <> '' would fold every row
)

SELECT field, kind, word, id FROM unambiguous ORDER BY field, kind, word;
