-- One job in one row: what it was, how it closed, which patterns it shows.
-- grain: one row; none when the records hold no such job.
-- unit: minutes; money in the shop's currency.
-- counts: a pattern is TRUE, FALSE, or NULL where the records cannot say.
SELECT
    jobs.job_id,
    jobs.opened_on,
    jobs.closed_on,
    jobs.branch,
    jobs.technician,
    jobs.appliance_kind,
    jobs.brand,
    jobs.model,
    jobs.symptom,
    jobs.recorded_cause,
    jobs.final_cause,
    jobs.repair_code,
    jobs.disposition,
    jobs.attended_visits,
    jobs.labour_min,
    jobs.travel_min,
    jobs.charged,
    jobs.callback_of,
    jobs.callback_job,
    jobs.callback_days,
    patterns.is_corrected,
    patterns.is_came_back,
    patterns.is_not_tested,
    patterns.is_against,
    patterns.is_missed,
    patterns.is_several,
    patterns.first_component,
    missed_readings.points AS missed_points,
    patterns.wrong_min,
    patterns.wrong_parts_cost,
FROM core.job_facts AS jobs
LEFT JOIN core.patterns_in(
    NULL, NULL, NULL, NULL, NULL, NULL, NULL, $window_days, NULL
) AS patterns
    ON jobs.job_id = patterns.job_id
LEFT JOIN core.missed_readings AS missed_readings ON jobs.job_id = missed_readings.job_id
WHERE jobs.job_id = $job_id::VARCHAR
ORDER BY jobs.job_id;
