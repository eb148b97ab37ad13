-- The account of one load, file by file.
-- grain: one row per source of the load.
SELECT
    accounts.source_id,
    accounts.file,
    accounts.sheet,
    accounts.table_name,
    accounts.mapping,
    read,
    loaded,
    duplicate,
    superseded,
    quarantined,
    accounts.unmapped,
    sources.missing,
FROM core.accounts AS accounts
INNER JOIN raw.sources AS sources ON accounts.source_id = sources.source_id
WHERE accounts.load_no = $load_no
ORDER BY accounts.source_id;
