-- The jobs of one complaint on which one test was made, newest first.
-- grain: one row per job.
-- unit: minutes; money in the shop's currency; whole days.
-- counts: as measures/power_of_tests. settled_cause is NULL where no cause was settled. verdict = the
--         first reading inside or outside limits, else doubtful or opinion. $is_settled: only those
--         that count for hit rate and false alarms (a verdict, and a settled cause).
SELECT
    tests.job_id,
    tests.closed_on,
    tests.technician,
    tests.appliance_kind,
    tests.symptom,
    tests.verdict,
    tests.settled_cause,
    jobs.final_cause AS cause,
    jobs.attended_visits,
    jobs.labour_min,
    jobs.charged,
    jobs.callback_days,
FROM core.tests_in(
    $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom
) AS tests
INNER JOIN core.job_facts AS jobs ON tests.job_id = jobs.job_id
WHERE tests.appliance_kind = $kind::VARCHAR
    AND tests.symptom = $complaint::VARCHAR
    AND tests.test_point = $test_point::VARCHAR
    AND (
        NOT coalesce($is_settled::BOOLEAN, FALSE)
        OR (tests.verdict IN ('inside', 'outside') AND tests.settled_cause IS NOT NULL)
    )
ORDER BY tests.closed_on DESC, tests.job_id;
