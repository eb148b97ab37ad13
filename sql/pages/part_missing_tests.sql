-- The tests that can see a replaced part fail and were not made before it went in, of one job.
-- grain: one row per replaced component and test point.
-- unit: p, q = probability of an outside reading when the part is at fault, and when another cause is.
SELECT evidence.component, chances.test_point, chances.p, chances.q,
FROM core.part_evidence AS evidence
INNER JOIN core.test_chances AS chances
    ON evidence.appliance_kind = chances.appliance_kind
    AND evidence.symptom = chances.symptom
    AND evidence.component = chances.component
WHERE evidence.job_id = $job_id::VARCHAR
    AND chances.sees
    AND strpos(' ' || evidence.readings, ' ' || chances.test_point || '+') = 0
    AND strpos(' ' || evidence.readings, ' ' || chances.test_point || '-') = 0
    AND strpos(' ' || evidence.readings, ' ' || chances.test_point || '~') = 0
ORDER BY evidence.component, chances.p DESC, chances.test_point;
