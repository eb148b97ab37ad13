-- Spellings of technicians, branches, brands, models and suppliers that a shop has confirmed to be one name.
-- grain: one row per mapping, field and written text.
CREATE TABLE staged.same_names AS
WITH written AS (
    SELECT 'technician' AS field, source_id, technician AS text FROM raw.jobs
    UNION
    SELECT 'technician', source_id, technician FROM raw.visits
    UNION
    SELECT 'branch', source_id, branch FROM raw.jobs
    UNION
    SELECT 'brand', source_id, brand FROM raw.jobs
    UNION
    SELECT 'model', source_id, model FROM raw.jobs
    UNION
    SELECT 'supplier', source_id, supplier FROM raw.part_lines
),

distinct_texts AS (
    SELECT DISTINCT sources.mapping, written.field, written.text,
    FROM written
    INNER JOIN raw.sources AS sources ON written.source_id = sources.source_id
    WHERE written.text IS NOT NULL
)

SELECT texts.mapping, texts.field, texts.text, names.id AS name,
FROM distinct_texts AS texts
INNER JOIN core.vocabulary AS names
    ON texts.mapping = names.mapping
    AND texts.field = names.field
    AND core.folded(texts.text) = names.word;
