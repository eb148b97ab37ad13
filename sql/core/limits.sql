-- The register of limits, each row with an id that a reading can point to.
-- grain: one row per test point and variant.
-- unit: the unit of the test point.
-- source: sql/lookups/tolerances.csv, column source.
CREATE TABLE core.limits AS
SELECT
    tolerances.test_point || coalesce(': ' || tolerances.variant, '') AS limits_id,
    tolerances.test_point,
    tolerances.variant,
    tolerances.is_default = 1 AS is_default,
    tolerances.limit_basis,
    tolerances.low::DOUBLE AS low,
    tolerances.high::DOUBLE AS high,
    tolerances.unit_ucum AS unit,
    tolerances.fail_below::DOUBLE AS fail_below,
    tolerances.fail_above::DOUBLE AS fail_above,
    tolerances.open_verdict,
    tolerances.zero_verdict,
    tolerances.ref_temp_cel::DOUBLE AS ref_temp_cel,
    tolerances.temp_model,
    tolerances.temp_params,
    tolerances.source_class,
    tolerances.source,
    tolerances.formula,
    tolerances.confidence,
    tolerances.note,
FROM lookups.tolerances AS tolerances
ORDER BY limits_id;
