-- What became of each diagnosis, and how the parts were chosen.
-- grain: one row per repaired job with a complaint.
-- unit: money in the shop's currency; minutes; whole days.
-- counts: outcomes: is_corrected = a later visit of the job corrected the diagnosis (core.corrections);
--         other_days = days to a callback after which the final cause is another component, companions
--         apart; a start device that went in with its compressor and failed later is no other diagnosis.
--         is_followed = the appliance and the diagnosis are known, so that a return would show.
--         first_component = of the first part where the job was corrected, else of the recorded cause.
--         Habits: TRUE, FALSE, or NULL where the records cannot say: no part that the register has a
--         test for, a source that never records readings, no reading with a verdict; is_missed: no part.
--         is_several = two or more components with a test fitted on one visit, companions apart, fewer
--         than two of them supported. A part is unneeded when the final cause is another component.
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
        job_id,
        count(*) AS parts_replaced,
        count(*) FILTER (WHERE evidence <> 'no test') AS testable_parts,
        count(*) FILTER (WHERE evidence = 'against') AS against_parts,
        count(*) FILTER (WHERE evidence = 'not tested') AS untested_parts,
        sum(parts_cost) FILTER (WHERE is_other) AS unneeded_parts_cost,
    FROM core.part_evidence
    GROUP BY job_id
),

together AS (
    SELECT
        parts.job_id,
        coalesce(parts.visit_no, 0) AS visit_no,
        parts.component,
        parts.evidence,
        count(companions.component) AS companions_before,
    FROM core.part_evidence AS parts
    LEFT JOIN core.part_evidence AS others
        ON parts.job_id = others.job_id
        AND coalesce(parts.visit_no, 0) = coalesce(others.visit_no, 0)
        AND others.component < parts.component
    LEFT JOIN core.companions AS companions
        ON parts.appliance_kind = companions.appliance_kind
        AND (
            (parts.component = companions.component AND others.component = companions.companion)
            OR (parts.component = companions.companion AND others.component = companions.component)
        )
    WHERE parts.evidence <> 'no test'
    GROUP BY parts.job_id, coalesce(parts.visit_no, 0), parts.component, parts.evidence
),

visit_parts AS (
    SELECT
        job_id,
        visit_no,
        count(*) FILTER (WHERE companions_before = 0) AS different_parts,
        count(*) FILTER (WHERE evidence = 'supported') AS supported_parts,
    FROM together
    GROUP BY job_id, visit_no
),

several AS (
    SELECT DISTINCT job_id
    FROM visit_parts
    WHERE different_parts >= 2 AND supported_parts < 2
),

taken_along AS (
    SELECT DISTINCT jobs.job_id,
    FROM jobs
    INNER JOIN core.companions AS companions
        ON jobs.appliance_kind = companions.appliance_kind
        AND jobs.recorded_component = companions.component
        AND jobs.final_component = companions.companion
    INNER JOIN core.fitted_parts AS fitted
        ON jobs.job_id = fitted.job_id AND jobs.final_component = fitted.component
),

returned AS (
    SELECT
        jobs.job_id,
        jobs.callback_days AS other_days,
        coalesce(callbacks.labour_min, 0) + coalesce(callbacks.travel_min, 0) AS callback_min,
    FROM jobs
    INNER JOIN core.job_facts AS callbacks ON jobs.callback_job = callbacks.job_id
    LEFT JOIN core.companions AS companions
        ON jobs.appliance_kind = companions.appliance_kind
        AND jobs.final_component = companions.component
        AND jobs.recorded_component = companions.companion
    LEFT JOIN taken_along ON jobs.job_id = taken_along.job_id
    WHERE jobs.has_diagnosis
        AND jobs.final_component <> 'none'
        AND jobs.final_component <> jobs.recorded_component
        AND companions.component IS NULL
        AND taken_along.job_id IS NULL
)

SELECT
    jobs.job_id,
    with_readings.mapping IS NOT NULL AS is_measured,
    coalesce(parts.parts_replaced, 0) AS parts_replaced,
    jobs.is_counted AND jobs.has_diagnosis AS is_followed,
    corrections.job_id IS NOT NULL AS is_corrected,
    returned.other_days,
    CASE WHEN corrections.job_id IS NOT NULL
        THEN corrections.first_component
        ELSE jobs.recorded_component
    END AS first_component,
    corrections.wrong_visit,
    coalesce(corrections.lost_min, 0) AS corrected_min,
    coalesce(returned.callback_min, 0) AS callback_min,
    coalesce(parts.unneeded_parts_cost, 0) AS unneeded_parts_cost,
    CASE WHEN parts.testable_parts > 0 THEN parts.untested_parts > 0 END AS is_not_tested,
    CASE WHEN parts.testable_parts > 0 THEN parts.against_parts > 0 END AS is_against,
    missed_readings.missed > 0 AS is_missed,
    CASE WHEN parts.testable_parts > 0 THEN several.job_id IS NOT NULL END AS is_several,
FROM jobs
INNER JOIN core.jobs AS recorded ON jobs.job_id = recorded.job_id
LEFT JOIN with_readings ON recorded.mapping = with_readings.mapping
LEFT JOIN parts ON jobs.job_id = parts.job_id
LEFT JOIN several ON jobs.job_id = several.job_id
LEFT JOIN core.missed_readings AS missed_readings ON jobs.job_id = missed_readings.job_id
LEFT JOIN core.corrections AS corrections ON jobs.job_id = corrections.job_id
LEFT JOIN returned ON jobs.job_id = returned.job_id
ORDER BY jobs.closed_on, jobs.job_id;
