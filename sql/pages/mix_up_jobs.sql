-- The jobs of one mix-up: first diagnosed as one component, turned out to be another; newest first.
-- grain: one row per job.
-- unit: minutes; money in the shop's currency; whole days.
-- counts: as measures/mix_ups; any mix-up of the complaint when $first and $final are NULL.
SELECT
    mixed.job_id,
    mixed.closed_on,
    mixed.technician,
    mixed.appliance_kind,
    mixed.symptom,
    mixed.first_component,
    mixed.final_component,
    mixed.callback_job,
    jobs.final_cause AS cause,
    jobs.attended_visits,
    jobs.labour_min,
    jobs.charged,
    jobs.callback_days,
FROM core.mix_ups_in(
    $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, $window_days
) AS mixed
INNER JOIN core.job_facts AS jobs ON mixed.job_id = jobs.job_id
WHERE mixed.first_component <> mixed.final_component
    AND ($kind::VARCHAR IS NULL OR mixed.appliance_kind = $kind::VARCHAR)
    AND ($complaint::VARCHAR IS NULL OR mixed.symptom = $complaint::VARCHAR)
    AND ($first::VARCHAR IS NULL OR mixed.first_component = $first::VARCHAR)
    AND ($final::VARCHAR IS NULL OR mixed.final_component = $final::VARCHAR)
ORDER BY mixed.closed_on DESC, mixed.job_id;
