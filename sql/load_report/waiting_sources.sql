-- The sources that have rows waiting in quarantine.
-- grain: one row per source.
SELECT
    sources.source_id,
    sources.file,
    sources.sheet,
    sources.table_name,
    sources.header,
    accounts.quarantined,
FROM raw.sources AS sources
INNER JOIN core.accounts AS accounts ON sources.source_id = accounts.source_id
WHERE accounts.quarantined > 0
ORDER BY sources.source_id;
