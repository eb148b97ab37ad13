-- The visits of one job.
-- grain: one row per visit, in order.
-- unit: minutes.
SELECT visit_no, arrived_at, technician, outcome, is_attended, labour_min, travel_min,
FROM core.visits
WHERE job_id = $job_id::VARCHAR
ORDER BY visit_no;
