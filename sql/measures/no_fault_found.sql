-- How often do we find no fault, does the complaint come back, and was anything measured?
-- grain: one row per group.
-- unit: jobs; rates are fractions (Wilson 95 %).
-- counts: jobs = those of core/no_fault_in.sql; no_fault = those closed as no fault found, whatever cause
--         is written. came_back, of those old enough on a known appliance (mature): a return within the
--         window; fault_later: the return was repaired with a cause. repaired_back of repaired_mature:
--         the same for repairs, as in callbacks. not_measured: no_fault jobs without any reading.
--         unstable_jobs: jobs, however closed, with a reading written as coming and going: the records
--         know no other mark of an intermittent fault.
-- source: Wilson 1927.
WITH sums AS (
    SELECT
        group_name,
        count(*) AS jobs,
        count(*) FILTER (WHERE is_no_fault) AS no_fault,
        count(*) FILTER (WHERE is_no_fault AND is_linked AND is_mature) AS mature,
        count(*) FILTER (WHERE returned_days IS NOT NULL AND is_mature) AS came_back,
        count(*) FILTER (WHERE is_fault_later AND is_mature) AS fault_later,
        count(*) FILTER (WHERE is_counted AND is_mature) AS repaired_mature,
        count(*) FILTER (
            WHERE is_counted AND is_mature AND callback_days <= $window_days
        ) AS repaired_back,
        count(*) FILTER (WHERE is_no_fault AND readings = 0) AS not_measured,
        count(*) FILTER (WHERE is_unstable) AS unstable_jobs,
    FROM core.no_fault_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, $group_by,
        $window_days
    )
    GROUP BY group_name
)

SELECT
    group_name AS "group",
    jobs,
    no_fault,
    no_fault / nullif(jobs, 0) AS share,
    core.wilson_low(no_fault, jobs) AS low,
    core.wilson_high(no_fault, jobs) AS high,
    mature,
    came_back,
    came_back / nullif(mature, 0) AS return_rate,
    core.wilson_low(came_back, mature) AS return_low,
    core.wilson_high(came_back, mature) AS return_high,
    fault_later,
    repaired_mature,
    repaired_back,
    repaired_back / nullif(repaired_mature, 0) AS repaired_rate,
    not_measured,
    unstable_jobs,
FROM sums
ORDER BY "group";
