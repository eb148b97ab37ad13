-- How often do we find no fault, does the complaint come back, and was anything measured?
-- grain: one row per group.
-- unit: jobs; rates are fractions (Wilson 95 %).
-- counts: jobs = complaints closed as repaired, no fault found, declined, beyond repair or referred;
--         no_fault = those closed as no fault found, whatever cause is written. came_back, of those
--         old enough on a known appliance (mature): the same appliance called again for the same
--         family of complaints within the window, or a later job names this one as the one it returns
--         to; fault_later: the return was repaired with a cause. repaired_back of repaired_mature: the
--         same for repairs, as in callbacks. not_measured: no_fault jobs without any reading.
--         unstable_jobs: jobs, however closed, with a reading written as coming and going: the records
--         know no other mark of an intermittent fault.
-- source: Wilson 1927.
WITH chosen AS (
    SELECT *
    FROM core.jobs_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, $group_by
    )
    WHERE is_complaint
        AND disposition IN ('repaired', 'no_fault_found', 'declined', 'beyond_repair', 'referred')
),

returned AS (
    SELECT
        chosen.job_id,
        max(
            CASE WHEN later.disposition = 'repaired'
                    AND coalesce(later.cause_class, 'none_found') <> 'none_found'
                THEN 1
                ELSE 0
            END
        ) AS is_fault_later,
    FROM chosen
    INNER JOIN core.jobs AS later
        ON chosen.unit_key = later.unit_key AND chosen.job_id <> later.job_id
    WHERE chosen.disposition = 'no_fault_found'
        AND later.disposition <> 'cancelled'
        AND date_diff('day', chosen.closed_on, later.opened_on) BETWEEN 0 AND $window_days
        AND (
            later.callback_of = chosen.job_id
            OR (
                later.symptom_family = chosen.symptom_family
                AND later.symptom_family NOT IN ('unspecified', 'no_complaint')
                AND (
                    later.opened_on > chosen.opened_on
                    OR core.number_key(later.job_id) > core.number_key(chosen.job_id)
                )
            )
        )
    GROUP BY chosen.job_id
),

unstable AS (
    SELECT DISTINCT job_id FROM core.readings WHERE ' ' || flags || ' ' LIKE '% unstable %'
),

sums AS (
    SELECT
        chosen.group_name,
        count(*) AS jobs,
        count(*) FILTER (WHERE chosen.disposition = 'no_fault_found') AS no_fault,
        count(*) FILTER (
            WHERE chosen.disposition = 'no_fault_found'
                AND chosen.is_linked
                AND chosen.days_since_closed >= $window_days
        ) AS mature,
        count(*) FILTER (
            WHERE returned.job_id IS NOT NULL AND chosen.days_since_closed >= $window_days
        ) AS came_back,
        count(*) FILTER (
            WHERE returned.is_fault_later = 1 AND chosen.days_since_closed >= $window_days
        ) AS fault_later,
        count(*) FILTER (
            WHERE chosen.is_counted AND chosen.days_since_closed >= $window_days
        ) AS repaired_mature,
        count(*) FILTER (
            WHERE chosen.is_counted
                AND chosen.days_since_closed >= $window_days
                AND chosen.callback_days <= $window_days
        ) AS repaired_back,
        count(*) FILTER (
            WHERE chosen.disposition = 'no_fault_found' AND chosen.readings = 0
        ) AS not_measured,
        count(unstable.job_id) AS unstable_jobs,
    FROM chosen
    LEFT JOIN returned ON chosen.job_id = returned.job_id
    LEFT JOIN unstable ON chosen.job_id = unstable.job_id
    GROUP BY chosen.group_name
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
