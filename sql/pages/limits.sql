-- The limits of a test point, where each comes from, and the hazards of testing there.
-- grain: one row per test point and its limits; a test point without limits has one row.
-- unit: limits in the unit of the test point at ref_temp_cel; readings are counts.
WITH used AS (
    SELECT limits_id, count(*) AS readings,
    FROM core.reading_facts
    WHERE limits_id IS NOT NULL
    GROUP BY limits_id
)

SELECT
    test_points.test_point,
    limits.limits_id,
    coalesce(limits.is_own, FALSE) AS is_own,
    coalesce(limits.is_default, FALSE) AS is_default,
    coalesce(used.readings, 0) AS readings,
    limits.kind,
    limits.brand,
    limits.model,
    limits.valid_from,
    limits.valid_to,
    limits.service_volts,
    limits.needs_ambient,
    limits.kinds,
    limits.type_words,
    limits.needs_nameplate,
    limits.to_note,
    limits.open_verdict,
    limits.zero_verdict,
    limits.ref_temp_cel,
    limits.temp_model,
    limits.temp_params,
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
    ON test_points.test_point = limits.test_point
LEFT JOIN used ON limits.limits_id = used.limits_id
WHERE $test_point::VARCHAR IS NULL OR test_points.test_point = $test_point::VARCHAR
ORDER BY test_points.test_point, readings DESC, is_default DESC, limits.limits_id;
