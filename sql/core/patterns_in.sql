-- The diagnoses of the jobs that a filter holds, under a callback window.
-- grain: one row per repaired complaint.
-- unit: minutes; money in the shop's currency.
-- counts: is_wrong, is_came_back: TRUE, FALSE, or NULL where the records cannot say: the appliance or
--         the diagnosis is unknown, or the job closed too recently (maturity is decided by date
--         alone). Wrong = corrected on a later visit, or came back within the window and the final
--         cause, at the end of the chain of callbacks, is another component. has_pattern answers for
--         pattern_arg: corrected, came_back, not_tested, against, missed, several; any other value or
--         NULL: wrong. wrong_min = the visits after the wrong one and the callback.
CREATE MACRO core.patterns_in(
    from_arg, to_arg, branch_arg, technician_arg, kind_arg, symptom_arg, group_arg, window_arg,
    pattern_arg
) AS TABLE
WITH followed AS (
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
        jobs.final_component,
        jobs.callback_job,
        jobs.callback_days,
        job_patterns.* EXCLUDE (job_id),
        job_patterns.is_followed AND jobs.days_since_closed >= window_arg AS is_judged,
    FROM core.jobs_in(
        from_arg, to_arg, branch_arg, technician_arg, kind_arg, symptom_arg, group_arg
    ) AS jobs
    INNER JOIN core.job_patterns AS job_patterns ON jobs.job_id = job_patterns.job_id
),

outcomes AS (
    SELECT
        *,
        CASE WHEN is_judged THEN coalesce(other_days <= window_arg, FALSE) END AS is_came_back,
        core.is_wrong(is_judged, is_corrected, other_days, window_arg) AS is_wrong,
    FROM followed
),

priced AS (
    SELECT
        *,
        CASE WHEN is_wrong THEN corrected_min ELSE 0 END
        + CASE WHEN is_came_back THEN callback_min ELSE 0 END AS wrong_min,
        CASE WHEN is_wrong THEN unneeded_parts_cost ELSE 0 END AS wrong_parts_cost,
        CASE coalesce(pattern_arg, 'wrong')
            WHEN 'corrected' THEN CASE WHEN is_judged THEN is_corrected END
            WHEN 'came_back' THEN is_came_back
            WHEN 'not_tested' THEN is_not_tested
            WHEN 'against' THEN is_against
            WHEN 'missed' THEN is_missed
            WHEN 'several' THEN is_several
            ELSE is_wrong
        END AS has_pattern,
    FROM outcomes
)

SELECT * FROM priced;
