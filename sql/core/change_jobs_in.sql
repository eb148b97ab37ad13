-- The jobs before and after a noted change, and what the measured figure says of each.
-- grain: one row per closed job between before_arg and after_arg, both days included.
-- counts: is_touched = branch, technician, kind, complaint and a fitted part number are among those
--         named (an empty list means any). is_after = opened on or after the change; jobs opened
--         before and closed after it belong to neither side and have NULL. is_hit = TRUE or FALSE
--         for measured_arg, NULL where the job is not in it or cannot be judged yet: first_time_fix,
--         callbacks (as the measures of that name), part_needed (an earlier trip ended for want of a
--         part), return_trips (more than one visit), wrong and the habits as in misdiagnosis. amount is
--         1 or 0 for these; for minutes (on the job, all visits), revenue (charged) and parts_cost (of
--         jobs with parts, all of them priced) it is the job's own, and is_hit is NULL.
-- unit: amount of minutes in minutes, of revenue and parts_cost in the shop's currency.
CREATE MACRO core.change_jobs_in(
    from_arg, to_arg, branch_arg, technician_arg, kind_arg, symptom_arg, window_arg, measured_arg,
    changed_arg, before_arg, after_arg, on_branch_arg, on_technician_arg, on_kind_arg,
    on_symptom_arg, on_part_arg
) AS TABLE
WITH with_part AS (
    SELECT DISTINCT job_id,
    FROM core.part_lines
    WHERE list_contains(on_part_arg::VARCHAR[], part_no)
),

judged AS (
    SELECT
        jobs.job_id,
        jobs.closed_on,
        jobs.closed_month,
        jobs.technician,
        jobs.appliance_kind,
        jobs.symptom,
        jobs.final_cause AS cause,
        jobs.attended_visits,
        jobs.labour_min,
        jobs.charged,
        jobs.callback_days,
        coalesce(core.is_chosen(on_branch_arg, jobs.branch), FALSE)
            AND coalesce(core.is_chosen(on_technician_arg, jobs.technician), FALSE)
            AND coalesce(core.is_chosen(on_kind_arg, jobs.appliance_kind), FALSE)
            AND coalesce(core.is_chosen(on_symptom_arg, jobs.symptom), FALSE)
            AND (coalesce(len(on_part_arg::VARCHAR[]), 0) = 0 OR with_part.job_id IS NOT NULL)
            AS is_touched,
        CASE
            WHEN jobs.closed_on < changed_arg::DATE THEN FALSE
            WHEN coalesce(jobs.opened_on, jobs.closed_on) >= changed_arg::DATE THEN TRUE
        END AS is_after,
        CASE measured_arg
            WHEN 'first_time_fix' THEN CASE
                WHEN jobs.is_counted AND jobs.attended_visits IS NOT NULL
                    AND jobs.days_since_closed >= window_arg
                    THEN core.is_fixed(jobs.attended_visits, jobs.callback_days, window_arg)
            END
            WHEN 'callbacks' THEN CASE
                WHEN jobs.is_counted AND jobs.days_since_closed >= window_arg
                    THEN coalesce(jobs.callback_days <= window_arg, FALSE)
            END
            WHEN 'part_needed' THEN CASE
                WHEN jobs.is_counted AND jobs.attended_visits IS NOT NULL THEN coalesce(
                    core.why_not_fixed(
                        jobs.attended_visits, jobs.first_reason, jobs.callback_days,
                        patterns.other_days, window_arg
                    ) = 'part_needed',
                    FALSE
                )
            END
            WHEN 'return_trips' THEN CASE
                WHEN jobs.is_repaired AND jobs.is_complaint THEN jobs.attended_visits > 1
            END
            WHEN 'wrong' THEN core.is_wrong(
                patterns.is_followed AND jobs.days_since_closed >= window_arg,
                patterns.is_corrected, patterns.other_days, window_arg
            )
            WHEN 'not_tested' THEN patterns.is_not_tested
            WHEN 'against' THEN patterns.is_against
            WHEN 'missed' THEN patterns.is_missed
            WHEN 'several' THEN patterns.is_several
        END AS is_hit,
        CASE measured_arg
            WHEN 'minutes' THEN jobs.labour_min::DOUBLE
            WHEN 'revenue' THEN jobs.charged::DOUBLE
            WHEN 'parts_cost' THEN CASE
                WHEN jobs.part_lines > 0 AND jobs.unpriced_lines = 0 THEN jobs.parts_cost
            END
        END AS own_amount,
    FROM core.jobs_in(
        from_arg, to_arg, branch_arg, technician_arg, kind_arg, symptom_arg, NULL
    ) AS jobs
    LEFT JOIN core.job_patterns AS patterns ON jobs.job_id = patterns.job_id
    LEFT JOIN with_part ON jobs.job_id = with_part.job_id
    WHERE core.is_in_period(before_arg, after_arg, jobs.closed_on)
)

SELECT
    *,
    CASE WHEN is_hit THEN 1 WHEN NOT is_hit THEN 0 ELSE own_amount END::DOUBLE AS amount,
FROM judged;
