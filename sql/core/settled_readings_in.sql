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
WITH readings AS (
    SELECT
        readings.job_id,
        readings.closed_on,
        readings.technician,
        readings.test_point,
        readings.quantity,
        readings.unit,
        readings.limits_id,
        readings.is_open,
        CASE WHEN NOT readings.is_open THEN readings.value END AS value,
        jobs.final_component = readings.component AS is_bad,
        jobs.final_component <> readings.component AS is_good,
        count(*) OVER (PARTITION BY readings.test_point, readings.limits_id) AS of_limits,
    FROM core.readings_in(
        from_arg, to_arg, branch_arg, technician_arg, kind_arg, symptom_arg
    ) AS readings
    INNER JOIN core.job_facts AS jobs ON readings.job_id = jobs.job_id
    WHERE jobs.is_counted
        AND jobs.days_since_closed >= window_arg
        AND coalesce(jobs.callback_days > window_arg, TRUE)
        AND jobs.final_component IS NOT NULL
        AND jobs.final_component <> 'none'
        AND NOT readings.is_new_part
        AND readings.quantity <> 'observation'
        AND (readings.has_number OR readings.is_open)
)

SELECT *,
FROM readings
QUALIFY rank() OVER (
    PARTITION BY test_point ORDER BY of_limits DESC, coalesce(limits_id::VARCHAR, '')
) = 1;
