-- Every written date of a job, read once: many rows say the same.
-- grain: one row per source and distinct text.
-- counts: problem = the code of what is wrong with the date, '' when nothing is. A time with its
--         offset is of the day that the shop had then, where the mapping names the shop's zone; else
--         of the day that is written.
CREATE TABLE staged.date_texts AS
WITH texts AS (
    SELECT source_id, opened_on AS text FROM raw.jobs WHERE opened_on IS NOT NULL
    UNION
    SELECT source_id, closed_on FROM raw.jobs WHERE closed_on IS NOT NULL
),

parsed AS (
    SELECT
        texts.source_id,
        texts.text,
        sources.date_order,
        sources.landed_on,
        core.parsed_date(texts.text, sources.date_order, sources.date_system) AS written_day,
        CASE WHEN sources.time_zone <> 'UTC' AND core.has_offset(texts.text)
            THEN core.parsed_timestamp(
                texts.text, sources.date_order, sources.date_system, sources.time_zone
            ) END AS shop_time,
    FROM texts
    INNER JOIN staged.sources AS sources ON texts.source_id = sources.source_id
),

dated AS (
    SELECT *, coalesce(shop_time::DATE, written_day) AS written_date,
    FROM parsed
)

SELECT
    source_id,
    text,
    written_date,
    CASE
        WHEN shop_time IS NOT NULL
        THEN date_diff('minute', shop_time::DATE::TIMESTAMP, shop_time)
        WHEN length(text) > 10 THEN coalesce(core.minute_of_day(text), 0)
        ELSE 0
    END AS day_minute,
    core.date_problem(text, date_order, written_date, landed_on) AS problem,
FROM dated;
