-- How many written spellings of technicians or branches were joined into how many names.
-- grain: one row.
-- counts: spellings that occur in the records and differ from the name that is shown.
WITH written AS (
    SELECT source_id, technician AS text FROM raw.jobs WHERE $group_by = 'technician'
    UNION
    SELECT source_id, technician FROM raw.visits WHERE $group_by = 'technician'
    UNION
    SELECT source_id, branch FROM raw.jobs WHERE $group_by = 'branch'
),

spellings AS (
    SELECT DISTINCT sources.mapping, written.text, names.id AS name,
    FROM written
    INNER JOIN raw.sources AS sources ON written.source_id = sources.source_id
    INNER JOIN core.vocabulary AS names
        ON sources.mapping = names.mapping
        AND names.field = $group_by
        AND core.folded(written.text) = names.word
    WHERE written.text <> names.id
)

SELECT count(*) AS spellings, count(DISTINCT name) AS names,
FROM spellings;
