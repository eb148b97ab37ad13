-- Which limits name a type that a reading notes.
-- grain: one row per distinct text of noted words and row of limits.
-- counts: each distinct text is searched once, however many readings bear it.
CREATE TABLE staged.noted_types AS
WITH noted AS (
    SELECT DISTINCT noted_words
    FROM staged.reading_cases
    WHERE noted_words <> ''
)

SELECT DISTINCT noted.noted_words, limit_words.limits_id,
FROM noted
INNER JOIN core.limit_words AS limit_words
    ON strpos(' ' || noted.noted_words || ' ', ' ' || limit_words.word || ' ') > 0;
