-- The jobs of each reason of a return trip, and which of them the month counts under that reason.
-- grain: one row per reason.
-- unit: jobs.
-- counts: jobs as repeat_visits = in_month + other_reason + not_counted. in_month: as month_reasons, where
--         a job has one reason, that of its first attended visit (misdiagnosed is wrong_diagnosis
--         there, which also holds callbacks). other_reason: counted there under another reason.
--         not_counted: not in first-time fix (not repaired, unit not known, or closed too recently).
WITH attended AS (
    SELECT
        job_id,
        repeat_reason,
        lead(visit_no) OVER (PARTITION BY job_id ORDER BY visit_no) AS next_visit_no,
    FROM core.visits
    WHERE is_attended
),

trips AS (
    SELECT DISTINCT attended.job_id, attended.repeat_reason,
    FROM attended
    INNER JOIN core.jobs_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, NULL
    ) AS jobs ON attended.job_id = jobs.job_id
    WHERE attended.next_visit_no IS NOT NULL AND jobs.attended_visits > 1
),

month AS (
    SELECT job_id, reason,
    FROM core.fixes_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, $window_days
    )
    WHERE is_mature AND NOT is_fixed
),

joined AS (
    SELECT
        trips.repeat_reason AS reason,
        month.job_id IS NOT NULL AS is_counted,
        coalesce(
            month.reason
            = CASE WHEN trips.repeat_reason = 'misdiagnosed' THEN 'wrong_diagnosis'
                ELSE trips.repeat_reason END,
            FALSE
        ) AS is_same,
    FROM trips
    LEFT JOIN month ON trips.job_id = month.job_id
)

SELECT
    reason,
    count(*) AS jobs,
    count(*) FILTER (WHERE is_same) AS in_month,
    count(*) FILTER (WHERE is_counted AND NOT is_same) AS other_reason,
    count(*) FILTER (WHERE NOT is_counted) AS not_counted,
FROM joined
GROUP BY reason
ORDER BY jobs DESC, reason;
