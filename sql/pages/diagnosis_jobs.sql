-- The jobs that show a pattern, newest first.
-- grain: one row per job.
-- unit: minutes; money in the shop's currency.
-- counts: those of $pattern as in measures/misdiagnosis; wrong diagnoses when it is NULL. $group_value
--         and $component narrow further. replaced names each part with what its readings said.
WITH patterns AS (
    SELECT *
    FROM core.patterns_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, $group_by,
        $window_days, $pattern
    )
    WHERE has_pattern
        AND ($group_value::VARCHAR IS NULL OR group_name = $group_value::VARCHAR)
),

parts AS (
    SELECT
        job_id,
        string_agg(component || ': ' || coalesce(evidence, 'no readings'), ', ' ORDER BY component)
            AS replaced,
        list(component) AS components,
    FROM core.part_evidence
    WHERE job_id IN (SELECT job_id FROM patterns)
    GROUP BY job_id
)

SELECT
    patterns.job_id,
    patterns.closed_on,
    patterns.technician,
    patterns.appliance_kind,
    patterns.symptom,
    patterns.first_component,
    patterns.recorded_cause,
    patterns.final_cause,
    parts.replaced,
    patterns.is_corrected,
    patterns.is_came_back,
    patterns.is_not_tested,
    patterns.is_against,
    patterns.is_missed,
    patterns.is_several,
    patterns.wrong_min,
    patterns.wrong_parts_cost,
    patterns.callback_job,
FROM patterns
LEFT JOIN parts ON patterns.job_id = parts.job_id
WHERE $component::VARCHAR IS NULL
    OR coalesce(list_contains(parts.components, $component::VARCHAR), FALSE)
ORDER BY patterns.closed_on DESC, patterns.job_id;
