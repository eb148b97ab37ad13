-- The waiting rows of one source of visits, as written, with their reasons.
-- grain: one row per source row; `reference` is what a mended row says it mends.
WITH reasons AS (
    SELECT
        problems.row_id,
        string_agg(
            problems.code || ' in ' || problems.field || coalesce(': ' || problems.text, ''),
            '; ' ORDER BY problems.field, problems.code
        ) AS reasons,
    FROM core.problems AS problems
    WHERE problems.table_name = 'visits'
        AND problems.source_id = $source_id
        AND problems.item_no = 0
        AND NOT problems.is_row_kept
    GROUP BY problems.row_id
)

SELECT
    visits.*,
    visits.source_id || '-' || visits.row_no AS reference,
    reasons.reasons,
FROM raw.visits AS visits
INNER JOIN reasons ON visits.row_id = reasons.row_id
WHERE visits.source_id = $source_id
ORDER BY visits.row_id;
