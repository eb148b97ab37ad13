-- What became of the rows of each source: read = loaded + duplicate + superseded + quarantined.
-- grain: one row per source (one table of one file).
CREATE TABLE core.accounts AS
WITH statuses AS (
    SELECT source_id, status, count(*) AS rows FROM core.job_rows GROUP BY source_id, status
    UNION ALL
    SELECT source_id, status, count(*) FROM core.visit_rows GROUP BY source_id, status
    UNION ALL
    SELECT reading_rows.source_id, reading_rows.status, count(*)
    FROM core.reading_rows AS reading_rows
    INNER JOIN raw.sources AS sources
        ON reading_rows.source_id = sources.source_id AND sources.table_name = 'readings'
    GROUP BY reading_rows.source_id, reading_rows.status
    UNION ALL
    SELECT part_rows.source_id, part_rows.status, count(*)
    FROM core.part_rows AS part_rows
    INNER JOIN raw.sources AS sources
        ON part_rows.source_id = sources.source_id AND sources.table_name = 'part_lines'
    GROUP BY part_rows.source_id, part_rows.status
    UNION ALL
    SELECT source_id, 'quarantined', count(*) FROM raw.bad_rows GROUP BY source_id
)

SELECT
    sources.source_id,
    sources.load_no,
    sources.file,
    sources.sheet,
    sources.table_name,
    sources.mapping,
    sources.unmapped,
    sources.rows_read AS read,
    coalesce(sum(CASE WHEN statuses.status = 'loaded' THEN statuses.rows END), 0)::BIGINT AS loaded,
    coalesce(sum(CASE WHEN statuses.status = 'duplicate' THEN statuses.rows END), 0)::BIGINT
        AS duplicate,
    coalesce(sum(CASE WHEN statuses.status = 'superseded' THEN statuses.rows END), 0)::BIGINT
        AS superseded,
    coalesce(sum(CASE WHEN statuses.status = 'quarantined' THEN statuses.rows END), 0)::BIGINT
        AS quarantined,
FROM raw.sources AS sources
LEFT JOIN statuses ON sources.source_id = statuses.source_id
GROUP BY ALL
ORDER BY sources.source_id;
