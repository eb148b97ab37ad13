-- The job numbers that more than one numbering uses: such jobs are shown as "east 1" and "west 1".
-- grain: one row per job number; none where the shop has a single numbering.
-- counts: a number that reads like another numbering's shown number ("east 1") counts as shared.
CREATE TABLE staged.shared_numbers AS
WITH numberings AS (
    SELECT count(DISTINCT numbering) AS numberings
    FROM staged.sources
    WHERE table_name = 'jobs'
),

numbers AS (
    SELECT DISTINCT jobs.job_id AS number, sources.numbering,
    FROM raw.jobs AS jobs
    INNER JOIN staged.sources AS sources ON jobs.source_id = sources.source_id
    CROSS JOIN numberings
    WHERE numberings.numberings > 1 AND jobs.job_id IS NOT NULL
)

SELECT number FROM numbers GROUP BY number HAVING count(*) > 1
UNION
SELECT numbers.number
FROM numbers
INNER JOIN numbers AS others ON numbers.number = others.numbering || ' ' || others.number;
