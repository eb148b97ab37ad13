-- Who is not in the fix rates, and why.
-- grain: one row per reason.
-- counts: closed jobs of the filter; each job under the first reason that holds.
WITH jobs AS (
    SELECT
        CASE
            WHEN NOT is_complaint THEN 'maintenance and installation'
            WHEN disposition <> 'repaired' THEN disposition
            WHEN attended_visits IS NULL THEN 'visits not recorded'
            WHEN NOT is_counted THEN 'appliance not known, so a return cannot be seen'
            WHEN days_since_closed < $window_days THEN 'closed too recently'
            ELSE 'counted'
        END AS reason,
    FROM core.jobs_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, NULL
    )
)

SELECT reason, count(*) AS jobs,
FROM jobs
GROUP BY reason
ORDER BY reason = 'counted' DESC, jobs DESC, reason;
