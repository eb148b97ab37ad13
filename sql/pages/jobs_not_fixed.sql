-- The repairs of a period that were not fixed first time, each with its one reason, newest first.
-- grain: one row per job past the callback window; those of measures/month_reasons.sql.
-- unit: minutes; money in the shop's currency.
SELECT
    job_id,
    closed_on,
    closed_month,
    technician,
    branch,
    appliance_kind,
    symptom,
    cause,
    attended_visits,
    labour_min,
    charged,
    callback_days,
    reason,
    coalesce(main_part, 'no part') AS part_no,
FROM core.fixes_in(
    $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, $window_days
)
WHERE is_mature AND NOT is_fixed
ORDER BY closed_on DESC, job_id;
