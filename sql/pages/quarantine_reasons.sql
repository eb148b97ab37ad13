-- Why rows wait in quarantine, with the remedy.
-- grain: one row per table, field and problem code.
WITH catalogue AS (
    SELECT code, title, remedy FROM lookups.problem_codes
    UNION ALL
    SELECT code, title, remedy FROM lookups.problem_codes_readings
    UNION ALL
    SELECT code, title, remedy FROM lookups.problem_codes_files
)

SELECT
    problems.table_name,
    catalogue.title,
    problems.field,
    count(DISTINCT problems.row_id) AS rows,
    catalogue.remedy,
FROM core.problems AS problems
INNER JOIN catalogue ON problems.code = catalogue.code
WHERE NOT problems.is_row_kept
GROUP BY problems.table_name, catalogue.title, problems.field, catalogue.remedy
ORDER BY rows DESC, problems.table_name, catalogue.title, problems.field;
