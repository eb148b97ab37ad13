-- The most that callbacks can be: any later call on the same appliance, whatever its complaint.
-- grain: exactly one row.
-- counts: the mature jobs of the callback rate. A later call was opened on the day of closing or
--         after, within the window, and was not cancelled; maintenance calls are in it.
--         often_back = appliances with two or more callbacks within the window, one after the other.
WITH jobs AS (
    SELECT job_id, unit_key, closed_on, callback_days,
    FROM core.jobs_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, NULL
    )
    WHERE is_counted AND days_since_closed >= $window_days
),

called AS (
    SELECT DISTINCT jobs.job_id,
    FROM jobs
    INNER JOIN core.job_facts AS later
        ON jobs.unit_key = later.unit_key
        AND jobs.job_id <> later.job_id
        AND later.disposition <> 'cancelled'
        AND date_diff('day', jobs.closed_on, later.opened_on) BETWEEN 0 AND $window_days
    UNION
    SELECT job_id, FROM jobs WHERE callback_days <= $window_days
),

often_back AS (
    SELECT unit_key,
    FROM jobs
    WHERE callback_days <= $window_days AND unit_key IS NOT NULL
    GROUP BY unit_key
    HAVING count(*) >= 2
)

SELECT
    count(*) AS mature,
    count(called.job_id) AS any_call,
    count(called.job_id) / nullif(count(*), 0) AS rate,
    core.wilson_low(count(called.job_id), count(*)) AS low,
    core.wilson_high(count(called.job_id), count(*)) AS high,
    (SELECT count(*) FROM often_back) AS often_back,
FROM jobs
LEFT JOIN called ON jobs.job_id = called.job_id;
