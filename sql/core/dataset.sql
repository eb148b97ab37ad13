-- The records as a whole: up to which day they speak, and which measures they can support.
-- grain: exactly one row.
-- counts: as_of is the latest date in any loaded record, or the setting; never the computer's clock.
CREATE TABLE core.dataset AS
WITH dates AS (
    SELECT max(greatest(opened_on, coalesce(closed_on, opened_on))) AS latest FROM core.jobs
    UNION ALL
    SELECT max(greatest(
        coalesce(arrived_at, left_at), coalesce(left_at, arrived_at)
    ))::DATE
    FROM core.visits
),

jobs AS (
    SELECT
        count(*) AS jobs,
        count(*) FILTER (WHERE unit_key IS NOT NULL OR callback_of IS NOT NULL) AS linked_jobs,
        min(closed_on) AS first_closed_on,
        max(closed_on) AS last_closed_on,
        count(charged) AS charged_jobs,
        count(DISTINCT currency) AS currencies,
        max(currency) AS currency,
    FROM core.jobs
)

SELECT
    coalesce(
        (SELECT try_cast(value AS DATE) FROM core.settings WHERE key = 'as_of'),
        (SELECT max(latest) FROM dates)
    ) AS as_of,
    jobs.*,
    (SELECT count(*) FROM core.visits) AS visits,
    (SELECT count(*) FROM core.readings) AS readings,
    (SELECT count(*) FROM core.part_lines) AS part_lines,
FROM jobs;
