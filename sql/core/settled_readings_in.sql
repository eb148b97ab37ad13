-- Readings of parts known to have failed and known to be good, for the limit review.
-- grain: one row per reading of a settled job, at a test point, under the limits used most there.
-- unit: value in the unit of the test point; NULL = open.
-- counts: settled = repaired, unit known, closed at least the window ago, no callback within it. is_bad:
--         the final cause names this component; is_good: it names another one. Jobs whose cause was
--         not established, readings of a new part, "more than" and "less than" are left out. Only
--         readings judged by one row of limits: never across ratings. An open reading is above every
--         number.
CREATE MACRO core.settled_readings_in(
    from_arg, to_arg, branch_arg, technician_arg, kind_arg, symptom_arg, window_arg
) AS TABLE
WITH settled AS (
    SELECT
        readings.job_id,
        readings.closed_on,
        readings.technician,
        readings.verdict_key,
        readings.final_component,
    FROM core.taken_in(
        from_arg, to_arg, branch_arg, technician_arg, kind_arg, symptom_arg
    ) AS readings
    INNER JOIN core.job_facts AS jobs ON readings.job_id = jobs.job_id
    WHERE jobs.is_counted
        AND jobs.days_since_closed >= window_arg
        AND coalesce(jobs.callback_days > window_arg, TRUE)
        AND readings.final_component <> 'none'
        AND NOT readings.is_new_part
),

verdicts AS (
    SELECT
        verdict_key,
        test_point,
        component,
        quantity,
        unit,
        coalesce(limits_id, '') AS limits_id,
        is_open,
        CASE WHEN NOT is_open THEN value END AS value,
    FROM core.reading_verdicts
    WHERE quantity <> 'observation' AND (is_open OR (value IS NOT NULL AND comparator = ''))
),

asked AS (
    SELECT verdict_key, count(*) AS readings,
    FROM settled
    GROUP BY verdict_key
),

judged_by AS (
    SELECT verdicts.test_point, verdicts.limits_id, sum(asked.readings) AS readings,
    FROM asked
    INNER JOIN verdicts ON asked.verdict_key = verdicts.verdict_key
    GROUP BY verdicts.test_point, verdicts.limits_id
),

used AS (
    SELECT test_point, limits_id,
    FROM judged_by
    QUALIFY rank() OVER (PARTITION BY test_point ORDER BY readings DESC, limits_id) = 1
)

SELECT
    settled.job_id,
    settled.closed_on,
    settled.technician,
    settled.verdict_key,
    verdicts.test_point,
    verdicts.quantity,
    verdicts.unit,
    nullif(verdicts.limits_id, '') AS limits_id,
    verdicts.is_open,
    verdicts.value,
    settled.final_component = verdicts.component AS is_bad,
    settled.final_component <> verdicts.component AS is_good,
FROM settled
INNER JOIN verdicts ON settled.verdict_key = verdicts.verdict_key
INNER JOIN used
    ON verdicts.test_point = used.test_point AND verdicts.limits_id = used.limits_id;
