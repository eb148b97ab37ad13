-- The jobs behind the page "No fault found": closed so, back again, not measured, or unstable.
-- grain: one row per job, newest first; callback_days = days until the same complaint came again.
-- counts: $which as the columns of measures/no_fault_found: 'no_fault', 'came_back' (and old enough),
--         'not_measured', 'unstable_jobs'.
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
    coalesce(returned_days, callback_days) AS callback_days,
FROM core.no_fault_in(
    $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, $group_by, $window_days
)
WHERE ($group_value::VARCHAR IS NULL OR group_name = $group_value::VARCHAR)
    AND CASE $which
        WHEN 'came_back' THEN returned_days IS NOT NULL AND is_mature
        WHEN 'not_measured' THEN is_no_fault AND readings = 0
        WHEN 'unstable_jobs' THEN is_unstable
        ELSE is_no_fault
    END
ORDER BY closed_on DESC, job_id;
