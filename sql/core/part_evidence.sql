-- What the readings said of every part replaced on a repaired job, and what the job turned out to be.
-- grain: one row per repaired job and replaced component.
-- unit: money in the shop's currency; log_ratio as in core.evidence_patterns.
-- counts: evidence NULL = the source records no readings at all, so nothing can be said.
--         is_other = the final cause names another component, companions apart. is_second = another
--         component, companions apart, went in on an earlier visit of the job: it did not cure it.
CREATE TABLE core.part_evidence AS
WITH with_readings AS (
    SELECT DISTINCT jobs.mapping
    FROM core.jobs AS jobs
    INNER JOIN core.readings AS readings ON jobs.job_id = readings.job_id
),

second_parts AS (
    SELECT DISTINCT parts.job_id, parts.component,
    FROM core.fitted_parts AS parts
    INNER JOIN core.fitted_parts AS earlier
        ON parts.job_id = earlier.job_id
        AND parts.component <> earlier.component
        AND earlier.visit_no < parts.visit_no
    LEFT JOIN core.companions AS companions
        ON parts.appliance_kind = companions.appliance_kind
        AND parts.component = companions.component
        AND earlier.component = companions.companion
    WHERE companions.component IS NULL
)

SELECT
    parts.*,
    CASE WHEN with_readings.mapping IS NOT NULL THEN patterns.log_ratio END AS log_ratio,
    CASE WHEN with_readings.mapping IS NOT NULL THEN patterns.log_odds END AS log_odds,
    patterns.tests_made,
    patterns.seeing_tests,
    CASE WHEN with_readings.mapping IS NOT NULL THEN patterns.evidence END AS evidence,
    coalesce(facts.final_component, 'none') NOT IN ('none', parts.component)
        AND companions.component IS NULL AS is_other,
    second_parts.job_id IS NOT NULL AS is_second,
FROM core.fitted_parts AS parts
INNER JOIN core.evidence_patterns AS patterns
    ON parts.appliance_kind = patterns.appliance_kind
    AND parts.symptom = patterns.symptom
    AND parts.component = patterns.component
    AND parts.readings = patterns.readings
INNER JOIN core.job_facts AS facts ON parts.job_id = facts.job_id
INNER JOIN core.jobs AS jobs ON parts.job_id = jobs.job_id
LEFT JOIN with_readings ON jobs.mapping = with_readings.mapping
LEFT JOIN core.companions AS companions
    ON parts.appliance_kind = companions.appliance_kind
    AND facts.final_component = companions.component
    AND parts.component = companions.companion
LEFT JOIN second_parts
    ON parts.job_id = second_parts.job_id AND parts.component = second_parts.component
ORDER BY parts.job_id, parts.component;
