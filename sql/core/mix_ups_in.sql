-- First diagnosis and final component of each settled job, for the mix-ups and the jobs behind them.
-- grain: one row per repaired complaint past the window, on a known appliance, with a diagnosis.
-- counts: as measures/mix_ups.
CREATE MACRO core.mix_ups_in(
    from_arg, to_arg, branch_arg, technician_arg, kind_arg, symptom_arg, window_arg
) AS TABLE
WITH callbacks AS (
    SELECT job_id, is_repaired, recorded_component,
    FROM core.job_facts
    WHERE callback_of IS NOT NULL
),

followed AS (
    SELECT
        jobs.job_id,
        jobs.closed_on,
        jobs.technician,
        jobs.appliance_kind,
        jobs.symptom,
        jobs.recorded_cause,
        jobs.callback_job,
        CASE WHEN jobs.is_came_back AND jobs.first_component = jobs.final_component
            THEN jobs.recorded_component
            ELSE jobs.first_component
        END AS first_component,
        CASE
            WHEN jobs.is_came_back THEN jobs.final_component
            WHEN jobs.is_corrected THEN jobs.recorded_component
            ELSE jobs.first_component
        END AS final_component,
        jobs.is_wrong
        OR coalesce(jobs.callback_days > window_arg, TRUE)
        OR coalesce(callbacks.is_repaired AND callbacks.recorded_component = jobs.recorded_component,
            FALSE) AS is_settled,
    FROM core.patterns_in(
        from_arg, to_arg, branch_arg, technician_arg, kind_arg, symptom_arg, NULL, window_arg, NULL
    ) AS jobs
    LEFT JOIN callbacks ON jobs.callback_job = callbacks.job_id
    WHERE jobs.is_wrong IS NOT NULL AND jobs.first_component IS NOT NULL
)

SELECT * EXCLUDE (is_settled),
FROM followed
WHERE is_settled;
