-- The calls of one calendar month of a complaint, over all years.
-- grain: one row per job, newest first.
-- counts: complaints opened in $first_month to $last_month ("YYYY-MM") in the calendar month
--         $calendar_month ("07"), whatever became of them; $kind or $complaint NULL: all.
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
FROM core.job_facts
WHERE is_complaint
    AND strftime(opened_on, '%Y-%m') >= $first_month
    AND strftime(opened_on, '%Y-%m') <= $last_month
    AND ($calendar_month::VARCHAR IS NULL OR strftime(opened_on, '%m') = $calendar_month::VARCHAR)
    AND ($kind::VARCHAR IS NULL OR appliance_kind = $kind::VARCHAR)
    AND ($complaint::VARCHAR IS NULL OR symptom = $complaint::VARCHAR)
    AND core.is_chosen($branch, branch)
    AND core.is_chosen($technician, technician)
    AND core.is_chosen($appliance_kind, appliance_kind)
    AND core.is_chosen($symptom, symptom)
ORDER BY opened_on DESC, job_id;
