-- The register's tests of one complaint, for a shop that has no reading of it yet.
-- grain: one row per test point of the chain; columns as measures/order_of_tests.
-- unit: minutes of the register.
SELECT
    chains.symptom,
    chains.kind AS appliance_kind,
    chains.test_point,
    chains.usual_step AS usual_position,
    chains.usual_step AS register_position,
    test_points.component,
    chains.access_level,
    chains.test_min::DOUBLE AS test_min,
    FALSE AS is_own_time,
    chains.energised = 'energised' AS is_energised,
    chains.hazards,
    coalesce(chains.rule = 'first', FALSE) AS is_first,
    test_points.needs,
    test_points.quantity,
    0 AS jobs_made,
    0 AS jobs,
FROM lookups.chains AS chains
INNER JOIN lookups.test_points AS test_points ON chains.test_point = test_points.test_point
WHERE chains.kind = $kind::VARCHAR AND chains.symptom = $complaint::VARCHAR
ORDER BY chains.usual_step, chains.test_point;
