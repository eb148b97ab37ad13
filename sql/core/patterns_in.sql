-- The five patterns of the jobs that a filter holds, under a callback window.
-- grain: one row per repaired complaint.
-- counts: TRUE, FALSE, or NULL where the records cannot say. Proved wrong can be said only of jobs
--         whose appliance and diagnosis are known and that are older than the window (maturity is
--         decided by date alone); has_any only where that and readings can be asked.
CREATE MACRO core.patterns_in(
    from_arg, to_arg, branch_arg, technician_arg, kind_arg, symptom_arg, group_arg, window_arg
) AS TABLE
WITH flagged AS (
    SELECT
        jobs.group_name,
        jobs.job_id,
        jobs.closed_on,
        jobs.technician,
        jobs.appliance_kind,
        jobs.symptom,
        jobs.recorded_cause,
        jobs.recorded_component,
        jobs.final_cause,
        jobs.callback_job,
        jobs.callback_days,
        job_patterns.* EXCLUDE (job_id),
        CASE WHEN job_patterns.is_followed AND jobs.days_since_closed >= window_arg
            THEN coalesce(job_patterns.disproved_days <= window_arg, FALSE)
        END AS is_proved_wrong,
    FROM core.jobs_in(
        from_arg, to_arg, branch_arg, technician_arg, kind_arg, symptom_arg, group_arg
    ) AS jobs
    INNER JOIN core.job_patterns AS job_patterns ON jobs.job_id = job_patterns.job_id
),

priced AS (
    SELECT
        *,
        CASE WHEN is_proved_wrong THEN lost_min ELSE 0 END AS wrong_min,
        unneeded_parts_cost
        + CASE WHEN is_proved_wrong THEN callback_unneeded_cost ELSE 0 END AS wrong_parts_cost,
        CASE WHEN is_measured AND is_proved_wrong IS NOT NULL
            THEN is_proved_wrong
                OR coalesce(is_condemned_while_good, FALSE)
                OR coalesce(is_no_evidence, FALSE)
                OR coalesce(is_passed_over, FALSE)
                OR coalesce(is_at_a_guess, FALSE)
        END AS has_any,
    FROM flagged
)

SELECT * FROM priced;
