-- The jobs of one complaint on which one test was made, newest first.
-- grain: one row per job.
-- counts: as measures/power_of_tests. settled_cause is NULL where no cause was settled. verdict = the
--         first reading inside or outside limits, else doubtful or opinion.
SELECT
    job_id,
    closed_on,
    technician,
    verdict,
    settled_cause,
FROM core.tests_in($from_date, $to_date, $branch, $technician, $appliance_kind, $symptom)
WHERE appliance_kind = $kind::VARCHAR
    AND symptom = $complaint::VARCHAR
    AND test_point = $test_point::VARCHAR
ORDER BY closed_on DESC, job_id;
