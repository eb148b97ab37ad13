-- Each source with the habits of writing that its mapping declares.
-- grain: one row per source.
CREATE TABLE staged.sources AS
SELECT
    sources.source_id,
    sources.file,
    sources.sheet,
    sources.table_name,
    sources.mapping,
    sources.date_system,
    sources.numbering,
    sources.has_lines,
    sources.job_time_unit,
    sources.travel_time_unit,
    sources.line_time_unit,
    sources.labor_quantity_unit,
    strpos(sources.header, '"outcome"]') > 0 AS has_outcomes,
    sources.landed_on,
    mappings.date_order,
    mappings.decimal_sign,
    mappings.time_zone,
    mappings.fold_case,
    mappings.own_kinds,
    nullif(mappings.currency, '') AS currency,
FROM raw.sources AS sources
INNER JOIN raw.mappings AS mappings ON sources.mapping = mappings.mapping;
