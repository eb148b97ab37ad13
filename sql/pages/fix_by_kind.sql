-- First-time fix of each group within each appliance: the look before the totals.
-- grain: one row per group and appliance.
-- unit: jobs; rate, low, high are fractions (Wilson 95 %).
-- counts: the mature jobs of first_time_fix.
WITH jobs AS (
    SELECT
        group_name,
        appliance_kind,
        attended_visits = 1 AND coalesce(callback_days > $window_days, TRUE) AS is_fixed,
    FROM core.jobs_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, $group_by
    )
    WHERE is_counted AND attended_visits IS NOT NULL AND days_since_closed >= $window_days
),

counts AS (
    SELECT
        group_name,
        appliance_kind,
        count(*) AS mature,
        count(*) FILTER (WHERE is_fixed) AS fixed_first_time,
    FROM jobs
    GROUP BY group_name, appliance_kind
)

SELECT
    appliance_kind,
    group_name AS "group",
    mature,
    fixed_first_time,
    fixed_first_time / nullif(mature, 0) AS rate,
    core.wilson_low(fixed_first_time, mature) AS low,
    core.wilson_high(fixed_first_time, mature) AS high,
FROM counts
ORDER BY appliance_kind, "group";
