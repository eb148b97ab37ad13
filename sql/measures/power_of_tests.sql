-- What a test is worth: how often it reads outside when the cause is there, and when it is not.
-- grain: one row per appliance kind, complaint, cause and test point of the register's chains.
-- unit: jobs; shares and likelihood ratios are added from the counts (Wilson; log method).
-- counts: jobs of the complaint on which the test was made, by its first reading inside or outside
--         (the decision, meter's error included).
--         tp = outside and the cause was there, fp = outside and another cause, fn, tn likewise
--         for inside. Settled = repaired with an established cause (the final one, a callback's where
--         that found another component). Jobs of no settled cause are unverified_*; doubtful =
--         doubtful readings only; opinion_only = written down without a verdict (good, bad, no
--         limits); not_made = settled jobs with the cause on which the test was not made. The test
--         that found the fault is always written down, the same test when it missed often is not:
--         sensitivity is too high (verification bias).
WITH jobs AS (
    SELECT
        appliance_kind,
        symptom,
        CASE WHEN is_repaired AND coalesce(final_cause_class, 'none_found') <> 'none_found'
            THEN final_cause
        END AS settled_cause,
    FROM core.jobs_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, NULL
    )
),

pairs AS (
    SELECT DISTINCT kind AS appliance_kind, symptom, cause, test_point,
    FROM lookups.cause_test_matrix
),

tests AS (
    SELECT appliance_kind, symptom, settled_cause, test_point, verdict, count(*) AS jobs,
    FROM core.tests_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom
    )
    GROUP BY appliance_kind, symptom, settled_cause, test_point, verdict
),

by_test AS (
    SELECT
        appliance_kind,
        symptom,
        test_point,
        sum(CASE WHEN settled_cause IS NOT NULL AND verdict = 'outside' THEN jobs ELSE 0 END)::BIGINT
            AS outside,
        sum(CASE WHEN settled_cause IS NOT NULL AND verdict = 'inside' THEN jobs ELSE 0 END)::BIGINT
            AS inside,
        sum(CASE WHEN settled_cause IS NULL AND verdict = 'outside' THEN jobs ELSE 0 END)::BIGINT
            AS unverified_outside,
        sum(CASE WHEN settled_cause IS NULL AND verdict = 'inside' THEN jobs ELSE 0 END)::BIGINT
            AS unverified_inside,
        sum(CASE WHEN verdict = 'doubtful' THEN jobs ELSE 0 END)::BIGINT AS doubtful,
        sum(CASE WHEN verdict = 'opinion' THEN jobs ELSE 0 END)::BIGINT AS opinion_only,
    FROM tests
    GROUP BY appliance_kind, symptom, test_point
),

by_cause AS (
    SELECT
        appliance_kind,
        symptom,
        settled_cause AS cause,
        test_point,
        sum(jobs)::BIGINT AS made,
        sum(CASE WHEN verdict = 'outside' THEN jobs ELSE 0 END)::BIGINT AS outside,
        sum(CASE WHEN verdict = 'inside' THEN jobs ELSE 0 END)::BIGINT AS inside,
    FROM tests
    WHERE settled_cause IS NOT NULL
    GROUP BY appliance_kind, symptom, settled_cause, test_point
),

cause_jobs AS (
    SELECT appliance_kind, symptom, settled_cause AS cause, count(*) AS jobs,
    FROM jobs
    WHERE settled_cause IS NOT NULL
    GROUP BY appliance_kind, symptom, settled_cause
)

SELECT
    pairs.symptom,
    pairs.cause,
    pairs.test_point,
    coalesce(by_cause.outside, 0) AS tp,
    by_test.outside - coalesce(by_cause.outside, 0) AS fp,
    coalesce(by_cause.inside, 0) AS fn,
    by_test.inside - coalesce(by_cause.inside, 0) AS tn,
    by_test.unverified_outside,
    by_test.unverified_inside,
    by_test.doubtful,
    by_test.opinion_only,
    coalesce(cause_jobs.jobs, 0) - coalesce(by_cause.made, 0) AS not_made,
    matrix.p_out_of_limits AS register_outside,
    pairs.appliance_kind,
FROM pairs
INNER JOIN by_test
    ON pairs.appliance_kind = by_test.appliance_kind
    AND pairs.symptom = by_test.symptom
    AND pairs.test_point = by_test.test_point
LEFT JOIN by_cause
    ON pairs.appliance_kind = by_cause.appliance_kind
    AND pairs.symptom = by_cause.symptom
    AND pairs.cause = by_cause.cause
    AND pairs.test_point = by_cause.test_point
LEFT JOIN cause_jobs
    ON pairs.appliance_kind = cause_jobs.appliance_kind
    AND pairs.symptom = cause_jobs.symptom
    AND pairs.cause = cause_jobs.cause
LEFT JOIN lookups.cause_test_matrix AS matrix
    ON pairs.appliance_kind = matrix.kind
    AND pairs.symptom = matrix.symptom
    AND pairs.cause = matrix.cause
    AND pairs.test_point = matrix.test_point
ORDER BY pairs.appliance_kind, pairs.symptom, pairs.cause, pairs.test_point;
