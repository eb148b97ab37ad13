-- The jobs that show a pattern of a wrong diagnosis, newest first.
-- grain: one row per job.
-- unit: minutes; money in the shop's currency.
-- counts: those of $pattern; all of them when it is NULL. $group_value and $component narrow further.
WITH patterns AS (
    SELECT *
    FROM core.patterns_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, $group_by,
        $window_days
    )
    WHERE ($group_value::VARCHAR IS NULL OR group_name = $group_value::VARCHAR)
        AND CASE coalesce($pattern, 'any')
            WHEN 'condemned_while_good' THEN is_condemned_while_good
            WHEN 'no_evidence' THEN is_no_evidence
            WHEN 'passed_over' THEN is_passed_over
            WHEN 'proved_wrong' THEN is_proved_wrong
            WHEN 'parts_at_a_guess' THEN is_at_a_guess
            ELSE has_any
        END
),

parts AS (
    SELECT
        job_id,
        string_agg(component || ': ' || evidence, ', ' ORDER BY component) AS replaced,
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
    patterns.recorded_cause,
    patterns.final_cause,
    parts.replaced,
    patterns.is_condemned_while_good,
    patterns.is_no_evidence,
    patterns.is_passed_over,
    patterns.is_proved_wrong,
    patterns.is_at_a_guess,
    patterns.wrong_min,
    patterns.wrong_parts_cost,
    patterns.callback_job,
FROM patterns
LEFT JOIN parts ON patterns.job_id = parts.job_id
WHERE $component::VARCHAR IS NULL
    OR coalesce(list_contains(parts.components, $component::VARCHAR), FALSE)
ORDER BY patterns.closed_on DESC, patterns.job_id;
