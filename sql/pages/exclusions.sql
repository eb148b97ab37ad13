-- Who is not in the fix rates, and why.
-- grain: one row per reason.
-- counts: closed jobs of the filter; each job under the first reason that holds.
WITH jobs AS (
    SELECT
        core.why_counted(
            is_complaint,
            disposition,
            attended_visits,
            is_counted,
            days_since_closed,
            $window_days
        ) AS reason,
    FROM core.jobs_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, NULL
    )
)

SELECT reason, count(*) AS jobs,
FROM jobs
GROUP BY reason
ORDER BY reason = 'counted' DESC, jobs DESC, reason;
