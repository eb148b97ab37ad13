-- The readings of failed and good parts at one test point, each with its job; newest first.
-- grain: one row per reading.
-- unit: value in the test point's unit; NULL = open.
-- counts: as measures/limit_review. is_failed: the final cause names the component, else another one.
SELECT job_id, closed_on, technician, value, is_bad AS is_failed,
FROM core.settled_readings_in(
    $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, $window_days
)
WHERE test_point = $test_point AND (is_bad OR is_good)
ORDER BY closed_on DESC, job_id, is_bad, value;
