-- Every written duration of jobs, lines, visits and readings, read once in the unit of its column.
-- grain: one row per source, field (job, travel, line, quantity, unit, test) and distinct text.
-- unit: minutes.
-- counts: quantity = the quantity of a line as a time; unit = that quantity with the unit of its line, its
--         minus left out.
CREATE TABLE staged.minute_texts AS
WITH texts AS (
    SELECT source_id, 'job' AS field, minutes_on_job AS text FROM raw.jobs
    UNION
    SELECT source_id, 'travel', travel_minutes FROM raw.jobs
    UNION
    SELECT source_id, 'line', line_minutes FROM raw.jobs
    UNION
    SELECT source_id, 'quantity', line_quantity FROM raw.jobs
    UNION
    SELECT source_id, 'unit', ltrim(line_quantity, '-') || ' ' || line_unit FROM raw.jobs
    UNION
    SELECT source_id, 'job', minutes_on_job FROM raw.visits
    UNION
    SELECT source_id, 'travel', travel_minutes FROM raw.visits
    UNION
    SELECT source_id, 'test', minutes FROM raw.readings
)

SELECT
    texts.source_id,
    texts.field,
    texts.text,
    core.parsed_duration(
        texts.text,
        sources.decimal_sign,
        CASE texts.field
            WHEN 'job' THEN sources.job_time_unit
            WHEN 'travel' THEN sources.travel_time_unit
            WHEN 'line' THEN sources.line_time_unit
            WHEN 'quantity' THEN sources.labor_quantity_unit
            WHEN 'unit' THEN ''
            ELSE 'minutes'
        END
    ) AS minutes,
FROM texts
INNER JOIN staged.sources AS sources ON texts.source_id = sources.source_id
WHERE texts.text IS NOT NULL;
