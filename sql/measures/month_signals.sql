-- Is a month's first-time fix different from the months before, or is it chance?
-- grain: one row per month of closing.
-- unit: jobs; rate, centre, limits are fractions; sigma_z = spread of the months against what chance
--       alone gives (1 = chance alone).
-- counts: as first_time_fix: repaired complaints, unit and visits known, older than the window;
--         younger ones are pending. Months without a mature job have a rate that is not yet known.
--         centre and sigma_z come from the baseline: the first $baseline_months months (12) without a
--         pending job, all of them when fewer, of all records whatever period is shown; a month of the
--         baseline is judged by the others of it. Months are whole months: is_shown = the period
--         touches it. Limits are centre ± 3 sigma for the month's own number of jobs, widened by
--         sigma_z (never narrowed) when the baseline has 12 months or more, and moved on to the count
--         that chance passes in at most 0.135 % (exact binomial) where that lies further out.
--         signals: a point beyond 3 sigma; 9 in a row on one side; 6 in a row rising or falling;
--         2 of 3 beyond 2 sigma on one side. By chance alone at most 1 month in 370 is beyond the
--         limits where the baseline is known well; for this shop: how_far_to_trust.
-- source: Shewhart's p-chart; Laney (2002), Qual Eng 14:531; Nelson (1984), rules 1, 2, 3, 5.
WITH jobs AS (
    SELECT
        group_name,
        days_since_closed >= $window_days AS is_mature,
        attended_visits = 1 AND coalesce(callback_days > $window_days, TRUE) AS is_fixed,
    FROM core.jobs_in(
        NULL, NULL, $branch, $technician, $appliance_kind, $symptom, 'month'
    )
    WHERE is_counted AND attended_visits IS NOT NULL
),

months AS (
    SELECT
        group_name,
        count(*) FILTER (WHERE is_mature) AS mature,
        count(*) FILTER (WHERE is_mature AND is_fixed) AS fixed_first_time,
        count(*) FILTER (WHERE NOT is_mature) AS pending,
    FROM jobs
    GROUP BY group_name
)

SELECT
    group_name AS month,
    mature,
    fixed_first_time,
    fixed_first_time / nullif(mature, 0) AS rate,
    core.wilson_low(fixed_first_time, mature) AS low,
    core.wilson_high(fixed_first_time, mature) AS high,
    pending,
    coalesce($baseline_months, 12)::INTEGER AS baseline_months,
    coalesce(group_name >= strftime($from_date::DATE, '%Y-%m'), TRUE)
        AND coalesce(group_name <= strftime($to_date::DATE, '%Y-%m'), TRUE) AS is_shown,
FROM months
ORDER BY month;
