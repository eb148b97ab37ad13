-- What schema 4 did not store: its mappings shared one numbering, named after the one with most jobs.
UPDATE raw.mappings
SET numbering = coalesce(
    (
        SELECT arg_max(counts.mapping, (counts.rows, counts.mapping))
        FROM (
            SELECT sources.mapping, count(*) AS rows,
            FROM raw.jobs AS jobs
            INNER JOIN raw.sources AS sources ON jobs.source_id = sources.source_id
            GROUP BY sources.mapping
        ) AS counts
    ),
    mapping
);

UPDATE raw.sources
SET numbering = mappings.numbering
FROM raw.mappings AS mappings
WHERE raw.sources.mapping = mappings.mapping;
