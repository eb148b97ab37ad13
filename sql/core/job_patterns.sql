-- What a repaired job shows of a wrong diagnosis, and what that cost.
-- grain: one row per repaired job with a complaint.
-- unit: money in the shop's currency; minutes; whole days.
-- counts: a flag is NULL where the records cannot say: no replaced part that has a test, a source
--         that never records readings, no reading with a verdict.
--         passed_over: the last reading of a test point is outside (an earlier one that was repeated
--         and came out inside does not count), its component is neither replaced nor the recorded
--         cause, and no cause of a replaced or recorded component explains it (register: p >= 0.5).
--         at_a_guess: two or more different components that have a test replaced, fewer than two of
--         them supported. disproved_days: days to a repaired callback that found another component.
--         lost_min: that callback's minutes on the job and on the road. A part is unneeded when the
--         final cause is another component and no reading supported it.
CREATE TABLE core.job_patterns AS
WITH jobs AS (
    SELECT *, coalesce(recorded_component, 'none') <> 'none' AS has_diagnosis,
    FROM core.job_facts
    WHERE is_repaired AND is_complaint AND closed_on IS NOT NULL
),

with_readings AS (
    SELECT DISTINCT jobs.mapping
    FROM core.jobs AS jobs
    INNER JOIN core.readings AS readings ON jobs.job_id = readings.job_id
),

parts AS (
    SELECT
        part_evidence.job_id,
        count(*) AS parts_replaced,
        count(*) FILTER (WHERE has_test) AS testable_parts,
        count(*) FILTER (WHERE evidence = 'supported') AS supported_parts,
        count(*) FILTER (WHERE evidence = 'contradicted') AS contradicted_parts,
        count(*) FILTER (WHERE evidence = 'untested' AND has_test) AS untested_parts,
        sum(part_evidence.parts_cost) FILTER (
            WHERE evidence <> 'supported'
                AND job_facts.final_component <> 'none'
                AND job_facts.final_component <> part_evidence.component
        ) AS unneeded_parts_cost,
    FROM core.part_evidence AS part_evidence
    INNER JOIN core.job_facts AS job_facts ON part_evidence.job_id = job_facts.job_id
    GROUP BY part_evidence.job_id
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
    SELECT job_id, component FROM core.part_evidence
    UNION
    SELECT job_id, recorded_component FROM jobs WHERE has_diagnosis
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
),

fault_readings AS (
    SELECT
        last_readings.job_id,
        count(*) FILTER (
            WHERE decision = 'outside'
                AND NOT is_replaced
                AND component IS DISTINCT FROM recorded_component
                AND explained.job_id IS NULL
        ) AS passed_over,
    FROM last_readings
    LEFT JOIN explained
        ON last_readings.job_id = explained.job_id
        AND last_readings.test_point = explained.test_point
    GROUP BY last_readings.job_id
),

disproved AS (
    SELECT
        jobs.job_id,
        jobs.callback_job,
        jobs.callback_days,
        coalesce(callbacks.labour_min, 0) + coalesce(callbacks.travel_min, 0) AS lost_min,
        parts.unneeded_parts_cost,
    FROM jobs
    INNER JOIN core.job_facts AS callbacks ON jobs.callback_job = callbacks.job_id
    LEFT JOIN parts ON callbacks.job_id = parts.job_id
    WHERE jobs.has_diagnosis
        AND jobs.final_component <> 'none'
        AND jobs.final_component <> jobs.recorded_component
)

SELECT
    jobs.job_id,
    with_readings.mapping IS NOT NULL AS is_measured,
    coalesce(parts.parts_replaced, 0) AS parts_replaced,
    coalesce(parts.testable_parts, 0) AS testable_parts,
    coalesce(parts.supported_parts, 0) AS supported_parts,
    CASE WHEN with_readings.mapping IS NOT NULL AND parts.testable_parts > 0
        THEN parts.contradicted_parts > 0
    END AS is_condemned_while_good,
    CASE WHEN with_readings.mapping IS NOT NULL AND parts.testable_parts > 0
        THEN parts.untested_parts > 0
    END AS is_no_evidence,
    fault_readings.passed_over > 0 AS is_passed_over,
    CASE WHEN with_readings.mapping IS NOT NULL AND parts.testable_parts > 0
        THEN parts.testable_parts >= 2 AND parts.supported_parts < 2
    END AS is_at_a_guess,
    jobs.is_counted AND jobs.has_diagnosis AS is_followed,
    disproved.callback_days AS disproved_days,
    disproved.lost_min,
    coalesce(parts.unneeded_parts_cost, 0) AS unneeded_parts_cost,
    coalesce(disproved.unneeded_parts_cost, 0) AS callback_unneeded_cost,
FROM jobs
INNER JOIN core.jobs AS recorded ON jobs.job_id = recorded.job_id
LEFT JOIN with_readings ON recorded.mapping = with_readings.mapping
LEFT JOIN parts ON jobs.job_id = parts.job_id
LEFT JOIN fault_readings ON jobs.job_id = fault_readings.job_id
LEFT JOIN disproved ON jobs.job_id = disproved.job_id
ORDER BY jobs.closed_on, jobs.job_id;
