-- Which repairs were fixed first time, and the one reason why each other one was not.
-- grain: one row per repaired complaint whose unit and visits are known: the jobs of first_time_fix.
-- unit: minutes. trip_min = road to the visits after the first attended one; callback_min = work and
--       road of the callback within the window. NULL = not recorded.
-- counts: reason is exclusive, so that reasons add up to the jobs not fixed. A job with return trips
--         has that of its first attended visit: why was one visit not enough? A job that was done in
--         one visit and came back has wrong_diagnosis when the final cause is another component
--         (core.job_patterns), else came_back. wrong_diagnosis also holds return trips whose part did
--         not cure the complaint. not_recorded = return trips without a reason.
--         main_part and first_reason: core/job_facts.sql.
CREATE MACRO core.fixes_in(
    from_arg, to_arg, branch_arg, technician_arg, kind_arg, symptom_arg, window_arg
) AS TABLE
SELECT
    jobs.job_id,
    jobs.closed_on,
    jobs.closed_month,
    jobs.branch,
    jobs.technician,
    jobs.appliance_kind,
    jobs.symptom,
    jobs.final_cause AS cause,
    jobs.attended_visits,
    jobs.labour_min,
    jobs.charged::DOUBLE AS charged,
    jobs.callback_days,
    jobs.days_since_closed >= window_arg AS is_mature,
    core.is_fixed(jobs.attended_visits, jobs.callback_days, window_arg) AS is_fixed,
    jobs.main_part,
    core.why_not_fixed(
        jobs.attended_visits, jobs.first_reason, jobs.callback_days, job_patterns.other_days,
        window_arg
    ) AS reason,
    CASE WHEN jobs.attended_visits > 1 THEN jobs.attended_visits - 1 ELSE 0 END AS return_trips,
    CASE WHEN jobs.attended_visits > 1 THEN jobs.trip_min END AS trip_min,
    CASE WHEN jobs.callback_days <= window_arg
        THEN callbacks.labour_min + coalesce(callbacks.travel_min, 0)
    END AS callback_min,
FROM core.jobs_in(
    from_arg, to_arg, branch_arg, technician_arg, kind_arg, symptom_arg, NULL
) AS jobs
LEFT JOIN core.job_patterns AS job_patterns ON jobs.job_id = job_patterns.job_id
LEFT JOIN core.job_facts AS callbacks ON jobs.callback_job = callbacks.job_id
WHERE jobs.is_counted AND jobs.attended_visits IS NOT NULL;
