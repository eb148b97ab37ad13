-- What became of the rows of each source: read = loaded + duplicate + superseded + quarantined.
-- grain: one row per source (one table of one file).
-- counts: loaded rows are counted where they were loaded to, the others where they were left out, so
--         that the account does not balance when a row is lost or comes twice. Readings and parts
--         that stood in cells of a job or visit row belong to that row.
CREATE TABLE core.accounts AS
WITH kept AS (
    SELECT 'jobs' AS table_name, row_id FROM core.jobs
    UNION ALL
    SELECT 'visits', row_id FROM core.visits
    UNION ALL
    SELECT 'readings', row_id FROM core.readings
    UNION ALL
    SELECT 'part_lines', row_id FROM core.part_lines
),

left_out AS (
    SELECT 'jobs' AS table_name, source_id, status FROM staged.jobs_left_out
    UNION ALL
    SELECT 'visits', source_id, status FROM staged.visits_left_out
    UNION ALL
    SELECT 'readings', source_id, status FROM staged.readings_left_out
    UNION ALL
    SELECT 'part_lines', source_id, status FROM staged.part_lines_left_out
),

statuses AS (
    SELECT
        table_name,
        floor(row_id / 4294967296.0)::INTEGER AS source_id,
        'loaded' AS status,
        count(*) AS rows,
    FROM kept
    GROUP BY ALL
    UNION ALL
    SELECT table_name, source_id, status, count(*)
    FROM left_out
    GROUP BY ALL
    UNION ALL
    SELECT sources.table_name, bad_rows.source_id, 'quarantined', count(*)
    FROM raw.bad_rows AS bad_rows
    INNER JOIN raw.sources AS sources ON bad_rows.source_id = sources.source_id
    GROUP BY ALL
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
LEFT JOIN statuses
    ON sources.source_id = statuses.source_id AND sources.table_name = statuses.table_name
GROUP BY ALL
ORDER BY sources.source_id;
