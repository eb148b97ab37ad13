-- Readings outside limits that nothing replaced or recorded explains.
-- grain: one row per repaired complaint with a reading that has a verdict.
-- counts: missed = test points whose last reading is outside (one repeated inside does not count),
--         whose component is neither replaced nor the recorded cause, and that no cause of a replaced
--         or recorded component explains (register: p of at least 0.5). points names them.
-- source: sql/lookups/cause_test_matrix.csv (judgement of the trade).
CREATE TABLE core.missed_readings AS
WITH jobs AS (
    SELECT job_id, appliance_kind, symptom, recorded_component,
    FROM core.job_facts
    WHERE is_repaired AND is_complaint AND closed_on IS NOT NULL
),

last_readings AS (
    SELECT
        readings.job_id,
        readings.test_point,
        readings.component,
        readings.is_replaced,
        readings.decision,
        jobs.appliance_kind,
        jobs.symptom,
        jobs.recorded_component,
    FROM core.reading_facts AS readings
    INNER JOIN jobs ON readings.job_id = jobs.job_id
    WHERE readings.decision IS NOT NULL AND readings.component NOT IN ('none', 'user')
    QUALIFY row_number() OVER (
        PARTITION BY readings.job_id, readings.test_point ORDER BY readings.seq DESC
    ) = 1
),

explaining AS (
    SELECT DISTINCT matrix.kind, matrix.symptom, matrix.test_point, causes.component,
    FROM lookups.cause_test_matrix AS matrix
    INNER JOIN lookups.causes AS causes
        ON matrix.kind = causes.kind AND matrix.cause = causes.cause
    WHERE matrix.p_out_of_limits >= 0.5
),

suspects AS (
    SELECT job_id, component FROM core.fitted_parts
    UNION
    SELECT job_id, recorded_component FROM jobs WHERE coalesce(recorded_component, 'none') <> 'none'
),

explained AS (
    SELECT DISTINCT last_readings.job_id, last_readings.test_point,
    FROM last_readings
    INNER JOIN suspects ON last_readings.job_id = suspects.job_id
    INNER JOIN explaining
        ON last_readings.appliance_kind = explaining.kind
        AND last_readings.symptom = explaining.symptom
        AND last_readings.test_point = explaining.test_point
        AND suspects.component = explaining.component
    WHERE last_readings.decision = 'outside'
)

SELECT
    last_readings.job_id,
    count(*) FILTER (
        WHERE decision = 'outside'
            AND NOT is_replaced
            AND component IS DISTINCT FROM recorded_component
            AND explained.job_id IS NULL
    ) AS missed,
    string_agg(last_readings.test_point, ' ' ORDER BY last_readings.test_point) FILTER (
        WHERE decision = 'outside'
            AND NOT is_replaced
            AND component IS DISTINCT FROM recorded_component
            AND explained.job_id IS NULL
    ) AS points,
FROM last_readings
LEFT JOIN explained
    ON last_readings.job_id = explained.job_id
    AND last_readings.test_point = explained.test_point
GROUP BY last_readings.job_id
ORDER BY last_readings.job_id;
