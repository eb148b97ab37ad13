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
        job_id,
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
    SELECT
        jobs.job_id,
        jobs.appliance_kind,
        jobs.symptom,
        jobs.settled_cause,
        readings.test_point,
        coalesce(
            arg_min(readings.decision, readings.seq)
            FILTER (WHERE readings.decision IN ('inside', 'outside')),
            max(readings.decision),
            'opinion'
        ) AS verdict,
    FROM jobs
    INNER JOIN core.reading_facts AS readings ON jobs.job_id = readings.job_id
    GROUP BY
        jobs.job_id, jobs.appliance_kind, jobs.symptom, jobs.settled_cause, readings.test_point
),

by_test AS (
    SELECT
        appliance_kind,
        symptom,
        test_point,
        count(*) FILTER (WHERE verdict = 'outside' AND settled_cause IS NOT NULL) AS outside,
        count(*) FILTER (WHERE verdict = 'inside' AND settled_cause IS NOT NULL) AS inside,
        count(*) FILTER (WHERE verdict = 'outside' AND settled_cause IS NULL) AS unverified_outside,
        count(*) FILTER (WHERE verdict = 'inside' AND settled_cause IS NULL) AS unverified_inside,
        count(*) FILTER (WHERE verdict = 'doubtful') AS doubtful,
        count(*) FILTER (WHERE verdict = 'opinion') AS opinion_only,
    FROM tests
    GROUP BY appliance_kind, symptom, test_point
),

by_cause AS (
    SELECT
        appliance_kind,
        symptom,
        settled_cause AS cause,
        test_point,
        count(*) AS made,
        count(*) FILTER (WHERE verdict = 'outside') AS outside,
        count(*) FILTER (WHERE verdict = 'inside') AS inside,
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
