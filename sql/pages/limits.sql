-- The default limits of a test point, where they come from, and the hazards of testing there.
-- grain: one row per test point.
SELECT
    test_points.test_point,
    test_points.component,
    test_points.quantity,
    test_points.unit_ucum AS unit,
    test_points.energised,
    test_points.state,
    test_points.hazards,
    limits.variant,
    limits.limit_basis,
    limits.low,
    limits.high,
    limits.fail_below,
    limits.fail_above,
    coalesce(limits.source_class, 'none') AS source_class,
    limits.source,
    limits.formula,
    coalesce(limits.confidence, 'none') AS confidence,
    limits.note,
FROM lookups.test_points AS test_points
LEFT JOIN core.limits AS limits
    ON test_points.test_point = limits.test_point AND limits.is_default
WHERE $test_point::VARCHAR IS NULL OR test_points.test_point = $test_point::VARCHAR
ORDER BY test_points.test_point;
