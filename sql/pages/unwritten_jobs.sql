-- The jobs on which a field of the form is missing, newest first.
-- grain: one row per job.
-- unit: minutes; money in the shop's currency; whole days.
-- counts: those of measures/recording whose field $field is missing; $group_value of $group_by.
SELECT
    jobs.job_id,
    jobs.closed_on,
    jobs.technician,
    jobs.appliance_kind,
    jobs.symptom,
    jobs.final_cause AS cause,
    jobs.attended_visits,
    jobs.labour_min,
    jobs.charged,
    jobs.callback_days,
FROM core.unwritten_in(
    $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, $group_by, $window_days
) AS fields
INNER JOIN core.job_facts AS jobs ON fields.job_id = jobs.job_id
WHERE core.is_unwritten(
    $field::VARCHAR,
    fields.no_appliance,
    fields.no_visits,
    fields.no_complaint,
    fields.no_cause,
    fields.no_repair,
    fields.no_minutes,
    fields.no_charge,
    fields.no_part,
    fields.no_reading,
    fields.no_reason,
    fields.no_technician
)
    AND ($group_value::VARCHAR IS NULL OR fields.group_name = $group_value::VARCHAR)
ORDER BY jobs.closed_on DESC, jobs.job_id;
