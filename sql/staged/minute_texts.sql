-- Every written duration of jobs, visits and readings, read once in the unit of its column.
-- grain: one row per source, field (job, travel, test) and distinct text.
-- unit: minutes.
CREATE TABLE staged.minute_texts AS
WITH texts AS (
    SELECT source_id, 'job' AS field, minutes_on_job AS text FROM raw.jobs
    UNION
    SELECT source_id, 'travel', travel_minutes FROM raw.jobs
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
            ELSE 'minutes'
        END
    ) AS minutes,
FROM texts
INNER JOIN staged.sources AS sources ON texts.source_id = sources.source_id
WHERE texts.text IS NOT NULL;
