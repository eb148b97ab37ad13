-- Words that no vocabulary knows, those that hold jobs back first, most frequent first, with the closest known word as a suggestion.
-- grain: one row per field, appliance kind, mapping and text.
-- counts: a suggestion is only shown, never used, until someone accepts it.
-- source: likeness of spelling by Jaro (1989) and Winkler (1990), at least 0.88.
WITH scored AS (
    SELECT
        unknown_words.field,
        unknown_words.appliance_kind,
        unknown_words.mapping,
        unknown_words.text,
        vocabulary.id,
        max(jaro_winkler_similarity(core.folded(unknown_words.text), vocabulary.word)) AS likeness,
    FROM core.unknown_words AS unknown_words
    INNER JOIN core.vocabulary AS vocabulary
        ON vocabulary.field = unknown_words.field
        AND vocabulary.mapping = ''
        AND vocabulary.kind IN ('', unknown_words.appliance_kind)
    GROUP BY ALL
),

closest AS (
    SELECT field, appliance_kind, mapping, text, id, likeness,
    FROM scored
    WHERE likeness >= 0.88
    QUALIFY row_number() OVER (
        PARTITION BY field, appliance_kind, mapping, text ORDER BY likeness DESC, id
    ) = 1
)

SELECT
    unknown_words.field,
    unknown_words.appliance_kind,
    unknown_words.text,
    unknown_words.rows,
    unknown_words.mapping,
    closest.id AS suggestion,
    closest.likeness,
    unknown_words.jobs_held,
FROM core.unknown_words AS unknown_words
LEFT JOIN closest
    ON unknown_words.field = closest.field
    AND unknown_words.appliance_kind = closest.appliance_kind
    AND unknown_words.mapping = closest.mapping
    AND unknown_words.text = closest.text
ORDER BY unknown_words.jobs_held DESC, unknown_words.rows DESC, unknown_words.field, unknown_words.appliance_kind, unknown_words.text;
