-- Why the rows of one source wait to be corrected.
-- grain: one row per waiting source row, with every reason.
CREATE MACRO core.waiting_reasons(table_arg, source_arg) AS TABLE
SELECT
    problems.row_id,
    string_agg(
        problems.code || ' in ' || problems.field || coalesce(': ' || problems.text, ''),
        '; ' ORDER BY problems.field, problems.code
    ) AS reasons,
FROM core.problems AS problems
WHERE problems.table_name = table_arg
    AND problems.source_id = source_arg
    AND problems.item_no = 0
    AND NOT problems.is_row_kept
GROUP BY problems.row_id;
