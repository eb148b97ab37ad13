-- Which job is a callback of which.
-- grain: one row per callback job B, with the job A that it returns to.
-- unit: callback_days = whole days from A closed to B opened.
-- counts: an explicit callback_of wins, whatever the family. Else A repaired, B not cancelled, same
--         unit, same complaint family, B opened on or after A closed and within 365 days; of several
--         A the one that closed last (ties: the larger job number). Unspecified complaints and
--         maintenance link to nothing.
CREATE TABLE core.callback_links AS
WITH explicit AS (
    SELECT
        later.job_id AS callback_job,
        earlier.job_id AS first_job,
        greatest(date_diff('day', earlier.closed_on, later.opened_on), 0) AS callback_days,
    FROM core.jobs AS later
    INNER JOIN core.jobs AS earlier
        ON later.callback_of = earlier.job_id
        AND later.job_id <> earlier.job_id
        AND earlier.disposition = 'repaired'
        AND later.opened_on >= earlier.opened_on
    WHERE later.disposition <> 'cancelled'
        AND date_diff('day', earlier.closed_on, later.opened_on) <= 365
),

inferred AS (
    SELECT
        later.job_id AS callback_job,
        earlier.job_id AS first_job,
        date_diff('day', earlier.closed_on, later.opened_on) AS callback_days,
    FROM core.jobs AS later
    INNER JOIN core.jobs AS earlier
        ON later.unit_key = earlier.unit_key
        AND later.symptom_family = earlier.symptom_family
        AND later.job_id <> earlier.job_id
        AND later.opened_on >= earlier.closed_on
        AND date_diff('day', earlier.closed_on, later.opened_on) <= 365
        AND earlier.disposition = 'repaired'
    LEFT JOIN explicit ON later.job_id = explicit.callback_job
    WHERE later.disposition <> 'cancelled'
        AND later.symptom_family NOT IN ('unspecified', 'no_complaint')
        AND explicit.callback_job IS NULL
    QUALIFY row_number() OVER (
        PARTITION BY later.job_id
        ORDER BY earlier.closed_on DESC, earlier.job_id DESC
    ) = 1
)

SELECT callback_job, first_job, callback_days::INTEGER AS callback_days, TRUE AS is_explicit,
FROM explicit
UNION ALL
SELECT callback_job, first_job, callback_days::INTEGER, FALSE
FROM inferred
ORDER BY callback_job;
