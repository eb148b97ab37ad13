-- Why rows of a source are in quarantine.
-- grain: one row per source and problem code; a row with two problems counts under both.
SELECT
    problems.source_id,
    problems.code,
    count(DISTINCT problems.row_no) AS rows,
FROM core.problems AS problems
INNER JOIN raw.sources AS sources
    ON problems.source_id = sources.source_id AND problems.table_name = sources.table_name
WHERE NOT problems.is_row_kept
GROUP BY problems.source_id, problems.code
ORDER BY problems.source_id, rows DESC, problems.code;
