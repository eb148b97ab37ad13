-- Which job is a callback of which.
-- grain: one row per callback job B, with the job A that it returns to.
-- unit: callback_days = whole days from A closed to B opened.
-- counts: an explicit callback_of wins, whatever the family. Else A repaired, B not cancelled, same
--         unit, same complaint family, B opened on or after A closed and within the horizon; of several
--         A the one that closed last (ties: the larger job number). Unspecified complaints and
--         maintenance link to nothing. Of two jobs opened on one day only the later one (by time,
--         else by number) can return to the other. A link written against that order holds where
--         the job returned to is not itself a return of that day, so that links never form a loop.
--         A is found with a running maximum over the unit's closings: a unit may have any number
--         of jobs.
CREATE TABLE core.callback_links AS
WITH jobs AS (
    SELECT
        job_id,
        unit_key,
        symptom_family,
        disposition,
        opened_on,
        closed_on,
        callback_of,
        core.number_key(job_id) AS number_key,
        row_number() OVER (
            ORDER BY opened_on, coalesce(opened_minute, 0), core.number_key(job_id), job_id
        ) AS opening,
    FROM core.jobs
),

written AS (
    SELECT
        later.job_id AS callback_job,
        earlier.job_id AS first_job,
        greatest(date_diff('day', earlier.closed_on, later.opened_on), 0) AS callback_days,
        later.opening < earlier.opening AS is_against_order,
    FROM jobs AS later
    INNER JOIN jobs AS earlier
        ON later.callback_of = earlier.job_id
        AND later.job_id <> earlier.job_id
        AND earlier.disposition = 'repaired'
        AND later.opened_on >= earlier.opened_on
    WHERE later.disposition <> 'cancelled'
        AND date_diff('day', earlier.closed_on, later.opened_on) <= core.callback_horizon_days()
),

explicit AS (
    SELECT written.callback_job, written.first_job, written.callback_days, written.is_against_order,
    FROM written
    LEFT JOIN written AS onward ON written.first_job = onward.callback_job
    WHERE NOT (written.is_against_order AND onward.callback_job IS NOT NULL)
),

closings AS (
    SELECT
        job_id,
        unit_key,
        symptom_family,
        opened_on,
        closed_on,
        opening,
        row_number() OVER (
            PARTITION BY unit_key, symptom_family ORDER BY closed_on, number_key, job_id
        ) AS place,
    FROM jobs
    WHERE disposition = 'repaired'
        AND unit_key IS NOT NULL
        AND closed_on IS NOT NULL
        AND symptom_family NOT IN ('unspecified', 'no_complaint')
),

events AS (
    SELECT
        job_id,
        unit_key,
        symptom_family,
        closed_on AS day,
        CASE WHEN opened_on = closed_on THEN opening ELSE 0 END AS turn,
        1 AS is_closing,
        place,
    FROM closings
    UNION ALL
    SELECT job_id, unit_key, symptom_family, opened_on, opening, 0, NULL
    FROM jobs
    WHERE unit_key IS NOT NULL AND disposition <> 'cancelled'
),

seen AS (
    SELECT
        job_id,
        unit_key,
        symptom_family,
        day,
        is_closing,
        max(place) OVER (
            PARTITION BY unit_key, symptom_family
            ORDER BY day, turn, is_closing, job_id
            ROWS BETWEEN UNBOUNDED PRECEDING AND CURRENT ROW
        ) AS last_place,
    FROM events
),

returned_to AS (
    SELECT first_job, count(*) AS callbacks FROM explicit WHERE is_against_order GROUP BY first_job
),

inferred AS (
    SELECT
        later.job_id AS callback_job,
        earlier.job_id AS first_job,
        date_diff('day', earlier.closed_on, later.day) AS callback_days,
    FROM seen AS later
    INNER JOIN closings AS earlier
        ON later.unit_key = earlier.unit_key
        AND later.symptom_family = earlier.symptom_family
        AND earlier.place = later.last_place
    LEFT JOIN explicit ON later.job_id = explicit.callback_job
    LEFT JOIN returned_to ON later.job_id = returned_to.first_job
    WHERE later.is_closing = 0
        AND date_diff('day', earlier.closed_on, later.day) <= core.callback_horizon_days()
        AND explicit.callback_job IS NULL
        AND NOT (returned_to.first_job IS NOT NULL AND earlier.opened_on = later.day)
)

SELECT callback_job, first_job, callback_days::INTEGER AS callback_days, TRUE AS is_explicit,
FROM explicit
UNION ALL
SELECT callback_job, first_job, callback_days::INTEGER, FALSE
FROM inferred
ORDER BY callback_job;
