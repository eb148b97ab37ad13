-- The jobs of one mix-up: first diagnosed as one component, turned out to be another; newest first.
-- grain: one row per job.
-- counts: as measures/mix_ups; any mix-up of the complaint when $first and $final are NULL.
SELECT
    job_id,
    closed_on,
    technician,
    appliance_kind,
    symptom,
    first_component,
    final_component,
    callback_job,
FROM core.mix_ups_in(
    $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, $window_days
)
WHERE first_component <> final_component
    AND ($kind::VARCHAR IS NULL OR appliance_kind = $kind::VARCHAR)
    AND ($complaint::VARCHAR IS NULL OR symptom = $complaint::VARCHAR)
    AND ($first::VARCHAR IS NULL OR first_component = $first::VARCHAR)
    AND ($final::VARCHAR IS NULL OR final_component = $final::VARCHAR)
ORDER BY closed_on DESC, job_id;
