-- Which repairs were fixed first time, and the one reason why each other one was not.
-- grain: one row per repaired complaint whose unit and visits are known: the jobs of first_time_fix.
-- unit: minutes. trip_min = road to the visits after the first attended one; callback_min = work and
--       road of the callback within the window. NULL = not recorded.
-- counts: reason is exclusive, so that reasons add up to the jobs not fixed. A job with return trips
--         has that of its first attended visit: why was one visit not enough? A job that was done in
--         one visit and came back has wrong_diagnosis when the final cause is another component
--         (core.job_patterns), else came_back. wrong_diagnosis also holds return trips whose part did
--         not cure the complaint. not_recorded = return trips without a reason.
--         main_part: of the parts fitted on a return trip, else of all, the one that cost most.
CREATE MACRO core.fixes_in(
    from_arg, to_arg, branch_arg, technician_arg, kind_arg, symptom_arg, window_arg
) AS TABLE
WITH jobs AS (
    SELECT
        *,
        days_since_closed >= window_arg AS is_mature,
        attended_visits = 1 AND coalesce(callback_days > window_arg, TRUE) AS is_fixed,
    FROM core.jobs_in(
        from_arg, to_arg, branch_arg, technician_arg, kind_arg, symptom_arg, NULL
    )
    WHERE is_counted AND attended_visits IS NOT NULL
),

trips AS (
    SELECT
        visits.job_id,
        visits.visit_no,
        visits.repeat_reason,
        visits.travel_min,
        row_number() OVER (PARTITION BY visits.job_id ORDER BY visits.visit_no) AS trip,
    FROM jobs
    INNER JOIN core.visits AS visits ON jobs.job_id = visits.job_id
    WHERE jobs.attended_visits > 1 AND visits.is_attended
),

first_trips AS (
    SELECT job_id, visit_no, repeat_reason,
    FROM trips
    WHERE trip = 1
),

return_trips AS (
    SELECT job_id, count(*) AS return_trips, sum(travel_min) AS trip_min,
    FROM trips
    WHERE trip > 1
    GROUP BY job_id
),

main_parts AS (
    SELECT part_lines.job_id, part_lines.part_no,
    FROM jobs
    INNER JOIN core.part_lines AS part_lines ON jobs.job_id = part_lines.job_id
    LEFT JOIN first_trips ON jobs.job_id = first_trips.job_id
    QUALIFY row_number() OVER (
        PARTITION BY part_lines.job_id
        ORDER BY
            CASE WHEN part_lines.visit_no > first_trips.visit_no THEN 0 ELSE 1 END,
            coalesce(core.line_money(part_lines.quantity, part_lines.unit_cost), 0) DESC,
            part_lines.part_no,
            part_lines.row_id,
            part_lines.item_no
    ) = 1
)

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
    jobs.is_mature,
    jobs.is_fixed,
    main_parts.part_no AS main_part,
    CASE
        WHEN jobs.is_fixed THEN NULL
        WHEN jobs.attended_visits <> 1 THEN CASE first_trips.repeat_reason
            WHEN 'misdiagnosed' THEN 'wrong_diagnosis'
            ELSE coalesce(first_trips.repeat_reason, 'not_recorded')
        END
        WHEN job_patterns.other_days <= window_arg THEN 'wrong_diagnosis'
        ELSE 'came_back'
    END AS reason,
    CASE WHEN jobs.attended_visits > 1
        THEN coalesce(return_trips.return_trips, jobs.attended_visits - 1)
        ELSE 0
    END AS return_trips,
    return_trips.trip_min,
    CASE WHEN jobs.callback_days <= window_arg
        THEN callbacks.labour_min + coalesce(callbacks.travel_min, 0)
    END AS callback_min,
FROM jobs
LEFT JOIN first_trips ON jobs.job_id = first_trips.job_id
LEFT JOIN return_trips ON jobs.job_id = return_trips.job_id
LEFT JOIN main_parts ON jobs.job_id = main_parts.job_id
LEFT JOIN core.job_patterns AS job_patterns ON jobs.job_id = job_patterns.job_id
LEFT JOIN core.job_facts AS callbacks ON jobs.callback_job = callbacks.job_id;
