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
WITH tests AS (
    SELECT
        appliance_kind,
        symptom,
        test_point,
        chain_step,
        earlier_tests,
        test_min,
        count(*) AS jobs,
    FROM core.tests_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom
    )
    WHERE chain_step IS NOT NULL
    GROUP BY appliance_kind, symptom, test_point, chain_step, earlier_tests, test_min
),

minutes AS (
    SELECT
        appliance_kind,
        symptom,
        test_point,
        test_min,
        sum(jobs) AS jobs,
        sum(sum(jobs)) OVER (
            PARTITION BY appliance_kind, symptom, test_point ORDER BY test_min NULLS LAST
        ) AS up_to,
        sum(CASE WHEN test_min IS NOT NULL THEN sum(jobs) ELSE 0 END) OVER (
            PARTITION BY appliance_kind, symptom, test_point
        ) AS timed,
    FROM tests
    GROUP BY appliance_kind, symptom, test_point, test_min
),

own AS (
    SELECT
        appliance_kind,
        symptom,
        test_point,
        sum(jobs)::BIGINT AS jobs_made,
        max(timed)::BIGINT AS timed,
        (
            min(test_min) FILTER (WHERE up_to >= floor((timed + 1) / 2))
            + min(test_min) FILTER (WHERE up_to >= floor(timed / 2) + 1)
        ) / 2 AS median_min,
    FROM minutes
    GROUP BY appliance_kind, symptom, test_point
),

orders AS (
    SELECT appliance_kind, symptom, test_point, earlier_tests, sum(jobs) AS jobs,
    FROM tests
    GROUP BY appliance_kind, symptom, test_point, earlier_tests
),

pairs AS (
    SELECT
        orders.appliance_kind,
        orders.symptom,
        earlier.test_point AS earlier_test,
        orders.test_point AS later_test,
        sum(orders.jobs) AS jobs,
    FROM orders
    INNER JOIN lookups.chains AS earlier
        ON orders.appliance_kind = earlier.kind AND orders.symptom = earlier.symptom
    WHERE floor(orders.earlier_tests / nullif(pow(2, earlier.usual_step), 0)) % 2 = 1
    GROUP BY orders.appliance_kind, orders.symptom, earlier.test_point, orders.test_point
),

both_ways AS (
    SELECT appliance_kind, symptom, earlier_test AS test_point, later_test AS other, jobs,
    FROM pairs
    UNION ALL
    SELECT appliance_kind, symptom, later_test, earlier_test, -jobs,
    FROM pairs
),

sides AS (
    SELECT appliance_kind, symptom, test_point, sign(sum(jobs)) AS side,
    FROM both_ways
    GROUP BY appliance_kind, symptom, test_point, other
),

standings AS (
    SELECT appliance_kind, symptom, test_point, sum(side) AS standing,
    FROM sides
    GROUP BY appliance_kind, symptom, test_point
),

complaint_jobs AS (
    SELECT appliance_kind, symptom, sum(jobs)::BIGINT AS jobs,
    FROM tests
    WHERE earlier_tests = 0
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
    coalesce(chains.rule = 'first', FALSE) AS is_first,
    test_points.needs,
    test_points.quantity,
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
ORDER BY chains.kind, chains.symptom, chains.usual_step, chains.test_point;
