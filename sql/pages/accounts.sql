-- What became of the rows of every source ever loaded.
-- grain: one row per source.
SELECT
    load_no,
    file,
    sheet,
    table_name,
    mapping,
    read,
    loaded,
    duplicate,
    superseded,
    quarantined,
    unmapped,
FROM core.accounts
ORDER BY load_no, file, sheet, table_name;
