-- First-time fix of each group within each kind and complaint: whom a group is compared with.
-- grain: one row per group, appliance kind and complaint.
-- unit: jobs.
-- counts: the mature jobs of first_time_fix.
SELECT
    group_name AS "group",
    appliance_kind,
    symptom,
    count(*) AS mature,
    count(*) FILTER (
        WHERE attended_visits = 1 AND coalesce(callback_days > $window_days, TRUE)
    ) AS fixed_first_time,
FROM core.jobs_in(
    $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, $group_by
)
WHERE is_counted AND attended_visits IS NOT NULL AND days_since_closed >= $window_days
GROUP BY group_name, appliance_kind, symptom
ORDER BY group_name, appliance_kind, symptom;
