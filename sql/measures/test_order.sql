-- In which order does the shop make the tests of a complaint, and which order would be quicker?
-- grain: one row per appliance kind, complaint and test of the register's chain.
-- unit: minutes, opening and closing included; positions from 1.
-- counts: usual_position = pair by pair, the test that more jobs made first stands before the other
--         (Copeland's count); so a job that ends early does not pull its last test to the end. Tests
--         that fewer than $least_jobs (5) jobs made stand last, in the register's order. The recorded
--         order is partly the order of typing. test_min = the median of the shop's own minutes from
--         $least_jobs readings on, else the register's.
--         The best order is added by an exact search over all orders that keep the safety rules; tests
--         that condemn no part (they narrow), sealed system and microwave high voltage are in no order.
-- source: sql/lookups/chains.csv, teardown.csv, cause_test_matrix.csv (judgement of the trade).
WITH jobs AS (
    SELECT job_id, appliance_kind, symptom,
    FROM core.jobs_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, NULL
    )
),

first_readings AS (
    SELECT
        jobs.job_id,
        jobs.appliance_kind,
        jobs.symptom,
        readings.test_point,
        min(readings.seq) AS seq,
        min(readings.test_min) AS test_min,
    FROM jobs
    INNER JOIN core.reading_facts AS readings ON jobs.job_id = readings.job_id
    INNER JOIN lookups.chains AS chains
        ON jobs.appliance_kind = chains.kind
        AND jobs.symptom = chains.symptom
        AND readings.test_point = chains.test_point
    GROUP BY jobs.job_id, jobs.appliance_kind, jobs.symptom, readings.test_point
),

own AS (
    SELECT
        appliance_kind,
        symptom,
        test_point,
        count(*) AS jobs_made,
        count(test_min) AS timed,
        quantile_cont(test_min::DOUBLE, 0.5) AS median_min,
    FROM first_readings
    GROUP BY appliance_kind, symptom, test_point
),

pairs AS (
    SELECT
        earlier.appliance_kind,
        earlier.symptom,
        earlier.test_point,
        sign(sum(sign(later.seq - earlier.seq))) AS side,
    FROM first_readings AS earlier
    INNER JOIN first_readings AS later
        ON earlier.job_id = later.job_id AND earlier.test_point <> later.test_point
    GROUP BY earlier.appliance_kind, earlier.symptom, earlier.test_point, later.test_point
),

standings AS (
    SELECT appliance_kind, symptom, test_point, sum(side) AS standing,
    FROM pairs
    GROUP BY appliance_kind, symptom, test_point
),

default_limits AS (
    SELECT test_point, limit_basis, low, high,
    FROM core.limits
    WHERE is_default
    QUALIFY row_number() OVER (PARTITION BY test_point ORDER BY limits_id) = 1
),

complaint_jobs AS (
    SELECT appliance_kind, symptom, count(DISTINCT job_id) AS jobs,
    FROM first_readings
    GROUP BY appliance_kind, symptom
)

SELECT
    chains.symptom,
    chains.kind AS appliance_kind,
    row_number() OVER (
        PARTITION BY chains.kind, chains.symptom ORDER BY chains.usual_step, chains.test_point
    ) AS position,
    chains.test_point,
    row_number() OVER (
        PARTITION BY chains.kind, chains.symptom
        ORDER BY
            coalesce(own.jobs_made, 0) < coalesce($least_jobs, 5),
            CASE WHEN own.jobs_made >= coalesce($least_jobs, 5) THEN -standings.standing END,
            chains.usual_step,
            chains.test_point
    ) AS usual_position,
    chains.usual_step AS register_position,
    test_points.component,
    chains.access_level,
    CASE WHEN own.timed >= coalesce($least_jobs, 5)
        THEN own.median_min
        ELSE chains.test_min::DOUBLE
    END AS test_min,
    coalesce(own.timed >= coalesce($least_jobs, 5), FALSE) AS is_own_time,
    chains.energised = 'energised' AS is_energised,
    chains.hazards,
    test_points.quantity,
    limits.limit_basis,
    limits.low,
    limits.high,
    test_points.unit_ucum AS unit,
    coalesce(own.jobs_made, 0) AS jobs_made,
    complaint_jobs.jobs AS jobs,
FROM lookups.chains AS chains
INNER JOIN complaint_jobs
    ON chains.kind = complaint_jobs.appliance_kind AND chains.symptom = complaint_jobs.symptom
INNER JOIN lookups.test_points AS test_points ON chains.test_point = test_points.test_point
LEFT JOIN own
    ON chains.kind = own.appliance_kind
    AND chains.symptom = own.symptom
    AND chains.test_point = own.test_point
LEFT JOIN standings
    ON chains.kind = standings.appliance_kind
    AND chains.symptom = standings.symptom
    AND chains.test_point = standings.test_point
LEFT JOIN default_limits AS limits ON chains.test_point = limits.test_point
ORDER BY chains.kind, chains.symptom, chains.usual_step, chains.test_point;
