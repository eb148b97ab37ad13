-- Complaints that were diagnosed: how many took the repair, how many declined, what declining took.
-- grain: exactly one row.
-- unit: jobs; minutes, means over the declined jobs whose minutes are recorded.
-- counts: attended closed complaints of the filter that ended repaired, declined or beyond repair.
SELECT
    count(*) AS diagnosed,
    count(*) FILTER (WHERE NOT is_repaired) AS declined,
    avg(labour_min) FILTER (WHERE NOT is_repaired) AS declined_min,
    avg(travel_min) FILTER (WHERE NOT is_repaired) AS declined_travel_min,
    quantile_cont(charged::DOUBLE, 0.5) FILTER (WHERE NOT is_repaired) AS median_fee,
FROM core.jobs_in($from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, NULL)
WHERE is_complaint
    AND attended_visits >= 1
    AND disposition IN ('repaired', 'declined', 'beyond_repair');
