-- What is behind a complaint: the share of each root cause.
-- grain: one row per appliance kind, symptom and cause.
-- unit: jobs; share, low, high, first_time_fix are fractions (Wilson 95 %); minutes; money.
-- counts: repaired and no-fault-found jobs. The final cause: where a callback found another
--         component, that one; $use_recorded takes what the first job recorded instead.
--         Coders choose the part replaced as the cause, so the mix is partly a mix of parts sold.
WITH jobs AS (
    SELECT
        *,
        coalesce(
            CASE WHEN $use_recorded THEN recorded_cause ELSE final_cause END,
            CASE WHEN disposition = 'no_fault_found' THEN 'no_fault_found' ELSE 'not recorded' END
        ) AS cause,
        is_counted AND attended_visits IS NOT NULL AND days_since_closed >= $window_days AS is_mature,
        attended_visits = 1 AND coalesce(callback_days > $window_days, TRUE) AS is_fixed,
    FROM core.jobs_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, NULL
    )
    WHERE disposition IN ('repaired', 'no_fault_found')
),

causes AS (
    SELECT
        appliance_kind,
        symptom,
        cause,
        count(*) AS jobs,
        quantile_cont(labour_min::DOUBLE, 0.5) AS median_minutes,
        quantile_cont(parts_cost::DOUBLE, 0.5) AS median_parts_cost,
        count(*) FILTER (WHERE is_mature AND is_fixed)
        / nullif(count(*) FILTER (WHERE is_mature), 0) AS first_time_fix,
        count(*) FILTER (WHERE is_mature) AS mature,
    FROM jobs
    GROUP BY appliance_kind, symptom, cause
),

totals AS (
    SELECT *, sum(jobs) OVER (PARTITION BY appliance_kind, symptom) AS of_jobs,
    FROM causes
)

SELECT
    symptom,
    cause,
    jobs,
    jobs / nullif(of_jobs, 0) AS share,
    core.wilson_low(jobs, of_jobs) AS low,
    core.wilson_high(jobs, of_jobs) AS high,
    median_minutes,
    median_parts_cost,
    first_time_fix,
    mature,
    of_jobs::BIGINT AS of_jobs,
    appliance_kind,
FROM totals
ORDER BY appliance_kind, symptom, jobs DESC, cause;
