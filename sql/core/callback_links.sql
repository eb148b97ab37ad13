-- Which job is a callback of which.
-- grain: one row per callback job B, with the job A that it returns to.
-- unit: callback_days = whole days from A closed to B opened.
-- counts: an explicit callback_of wins, whatever the family. Else A repaired, B not cancelled, same
--         unit, same complaint family, B opened on or after A closed and within 365 days; of several
--         A the one that closed last (ties: the larger job number). Unspecified complaints and
--         maintenance link to nothing. The job returned to is found by counting the closings of the
--         unit before the opening, the job's own left out: a unit may have any number of jobs.
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

closings AS (
    SELECT
        job_id,
        unit_key,
        symptom_family,
        closed_on,
        row_number() OVER (
            PARTITION BY unit_key, symptom_family ORDER BY closed_on, job_id
        ) AS place,
    FROM core.jobs
    WHERE disposition = 'repaired'
        AND unit_key IS NOT NULL
        AND closed_on IS NOT NULL
        AND symptom_family NOT IN ('unspecified', 'no_complaint')
),

events AS (
    SELECT job_id, unit_key, symptom_family, closed_on AS day, 0 AS is_opening FROM closings
    UNION ALL
    SELECT job_id, unit_key, symptom_family, opened_on, 1
    FROM core.jobs
    WHERE unit_key IS NOT NULL AND disposition <> 'cancelled'
),

counted AS (
    SELECT
        *,
        sum(1 - is_opening) OVER (
            PARTITION BY unit_key, symptom_family
            ORDER BY day, is_opening, job_id
            ROWS BETWEEN UNBOUNDED PRECEDING AND CURRENT ROW
        ) AS closings_before,
    FROM events
),

inferred AS (
    SELECT
        later.job_id AS callback_job,
        earlier.job_id AS first_job,
        date_diff('day', earlier.closed_on, later.day) AS callback_days,
    FROM counted AS later
    LEFT JOIN closings AS own ON later.job_id = own.job_id
    INNER JOIN closings AS earlier
        ON later.unit_key = earlier.unit_key
        AND later.symptom_family = earlier.symptom_family
        AND earlier.place = CASE
            WHEN own.place = later.closings_before THEN later.closings_before - 1
            ELSE later.closings_before
        END
    LEFT JOIN explicit ON later.job_id = explicit.callback_job
    WHERE later.is_opening = 1
        AND date_diff('day', earlier.closed_on, later.day) <= 365
        AND explicit.callback_job IS NULL
)

SELECT callback_job, first_job, callback_days::INTEGER AS callback_days, TRUE AS is_explicit,
FROM explicit
UNION ALL
SELECT callback_job, first_job, callback_days::INTEGER, FALSE
FROM inferred
ORDER BY callback_job;
