-- The jobs counted in a rate of first-time fix or of callbacks, whole or the part that ended one way.
-- grain: one row per job, newest first.
-- unit: minutes; money in the shop's currency; whole days.
-- counts: $which = 'counted', 'fixed' or 'not_fixed' (the mature jobs of first_time_fix), or
--         'came_back' (those of callbacks within the window), or 'back_by' (back within $window_days
--         days, closed at any time: the curve's). $group_value of $group_by; NULL = all.
SELECT
    job_id,
    closed_on,
    technician,
    appliance_kind,
    symptom,
    final_cause AS cause,
    attended_visits,
    labour_min,
    charged,
    callback_days,
FROM core.jobs_in(
    $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, $group_by
)
WHERE is_counted
    AND (days_since_closed >= $window_days OR $which = 'back_by')
    AND ($group_value::VARCHAR IS NULL OR group_name = $group_value::VARCHAR)
    AND CASE
        WHEN $which IN ('came_back', 'back_by') THEN coalesce(callback_days <= $window_days, FALSE)
        WHEN attended_visits IS NULL THEN FALSE
        WHEN $which = 'fixed'
            THEN attended_visits = 1 AND coalesce(callback_days > $window_days, TRUE)
        WHEN $which = 'not_fixed'
            THEN NOT (attended_visits = 1 AND coalesce(callback_days > $window_days, TRUE))
        ELSE TRUE
    END
ORDER BY closed_on DESC, job_id;
