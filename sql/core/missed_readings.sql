-- Readings outside limits that the parts first fitted do not explain.
-- grain: one row per repaired complaint on which a part was fitted, with a reading that has a verdict by
--        then.
-- counts: as of the visit that fitted the first part: what a later visit read, fitted or recorded would
--         reveal the outcome, and a habit that depends on the outcome cannot be compared with it. missed =
--         test points whose last reading by then is outside (one repeated inside does not count), whose
--         component was not fitted on that visit, and that no cause of a component fitted on it explains
--         (register: p of at least 0.5). points names them. An unknown visit counts as that visit.
-- source: sql/lookups/cause_test_matrix.csv (judgement of the trade).
CREATE TABLE core.missed_readings AS
WITH first_visits AS (
    SELECT fitted.job_id, jobs.appliance_kind, jobs.symptom, min(fitted.visit_no) AS visit_no,
    FROM core.fitted_parts AS fitted
    INNER JOIN core.job_facts AS jobs ON fitted.job_id = jobs.job_id
    WHERE jobs.is_repaired AND jobs.is_complaint AND jobs.closed_on IS NOT NULL
    GROUP BY fitted.job_id, jobs.appliance_kind, jobs.symptom
),

suspects AS (
    SELECT first_visits.*, fitted.component,
    FROM first_visits
    INNER JOIN core.fitted_parts AS fitted
        ON first_visits.job_id = fitted.job_id
        AND coalesce(fitted.visit_no = first_visits.visit_no, TRUE)
),

last_readings AS (
    SELECT readings.job_id, readings.test_point, readings.component, readings.decision,
    FROM core.reading_facts AS readings
    INNER JOIN first_visits
        ON readings.job_id = first_visits.job_id
        AND coalesce(readings.visit_no <= first_visits.visit_no, TRUE)
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

explained AS (
    SELECT DISTINCT last_readings.job_id, last_readings.test_point,
    FROM last_readings
    INNER JOIN suspects ON last_readings.job_id = suspects.job_id
    LEFT JOIN explaining
        ON suspects.appliance_kind = explaining.kind
        AND suspects.symptom = explaining.symptom
        AND suspects.component = explaining.component
        AND last_readings.test_point = explaining.test_point
    WHERE last_readings.decision = 'outside'
        AND (last_readings.component = suspects.component OR explaining.component IS NOT NULL)
)

SELECT
    last_readings.job_id,
    count(*) FILTER (WHERE decision = 'outside' AND explained.job_id IS NULL) AS missed,
    string_agg(last_readings.test_point, ' ' ORDER BY last_readings.test_point) FILTER (
        WHERE decision = 'outside' AND explained.job_id IS NULL
    ) AS points,
FROM last_readings
LEFT JOIN explained
    ON last_readings.job_id = explained.job_id
    AND last_readings.test_point = explained.test_point
GROUP BY last_readings.job_id
ORDER BY last_readings.job_id;
