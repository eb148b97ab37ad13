-- May the new rows be added to the last version (attached as old), or must everything be rebuilt?
-- grain: exactly one row, one column.
-- counts: not when a job number is used by two numberings, for such jobs are shown by both names;
--         rebuilt when an old source was taken out, an old mapping or word says something else now, or a
--         new row corrects a waiting one: then old rows of other jobs change their meaning.
WITH changes AS (
    SELECT source_id::VARCHAR AS changed
    FROM (SELECT * FROM old.raw.sources EXCEPT SELECT * FROM raw.sources) AS sources
    UNION ALL
    SELECT mapping
    FROM (SELECT * FROM old.raw.mappings EXCEPT SELECT * FROM raw.mappings) AS mappings
    UNION ALL
    SELECT mapping
    FROM (SELECT * FROM old.raw.words EXCEPT SELECT * FROM raw.words) AS words_gone
    UNION ALL
    SELECT words_new.mapping
    FROM (SELECT * FROM raw.words EXCEPT SELECT * FROM old.raw.words) AS words_new
    INNER JOIN old.raw.mappings AS mappings ON words_new.mapping = mappings.mapping
    UNION ALL
    SELECT mends FROM raw.jobs
    WHERE source_id >= getvariable('first_new') AND mends IS NOT NULL
    UNION ALL
    SELECT mends FROM raw.visits
    WHERE source_id >= getvariable('first_new') AND mends IS NOT NULL
    UNION ALL
    SELECT mends FROM raw.readings
    WHERE source_id >= getvariable('first_new') AND mends IS NOT NULL
    UNION ALL
    SELECT mends FROM raw.part_lines
    WHERE source_id >= getvariable('first_new') AND mends IS NOT NULL
)

SELECT count(*) = 0 AS can_add
FROM (
    SELECT changed FROM changes
    UNION ALL
    SELECT jobs.job_id
    FROM raw.jobs AS jobs
    INNER JOIN raw.sources AS sources ON jobs.source_id = sources.source_id
    WHERE (SELECT count(DISTINCT numbering) FROM raw.sources WHERE table_name = 'jobs') > 1
    GROUP BY jobs.job_id
    HAVING count(DISTINCT sources.numbering) > 1
) AS reasons;
