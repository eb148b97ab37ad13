-- The waiting rows of one source of jobs, as written, with their reasons.
-- grain: one row per source row; `reference` is what a mended row says it mends.
WITH reasons AS (
    SELECT
        problems.row_id,
        string_agg(
            problems.code || ' in ' || problems.field || coalesce(': ' || problems.text, ''),
            '; ' ORDER BY problems.field, problems.code
        ) AS reasons,
    FROM core.problems AS problems
    WHERE problems.table_name = 'jobs'
        AND problems.source_id = $source_id
        AND problems.item_no = 0
        AND NOT problems.is_row_kept
    GROUP BY problems.row_id
)

SELECT
    jobs.*,
    jobs.source_id || '-' || jobs.row_no AS reference,
    reasons.reasons,
FROM raw.jobs AS jobs
INNER JOIN reasons ON jobs.row_id = reasons.row_id
WHERE jobs.source_id = $source_id
ORDER BY jobs.row_id;
