-- The account of one load, file by file.
-- grain: one row per source of the load.
SELECT
    source_id,
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
WHERE load_no = $load_no
ORDER BY source_id;
