-- Each test point with its component and unit, and what its unit is of the base unit.
-- grain: one row per test point of the register.
-- counts: compressor = what its three windings share in their names.
-- unit: factor = base units in one unit of the test point.
CREATE TABLE staged.test_units AS
WITH factors AS (
    SELECT ucum, base_ucum, try_cast(factor_to_base AS DOUBLE) AS factor,
    FROM lookups.units
    WHERE ucum IS NOT NULL
    QUALIFY row_number() OVER (PARTITION BY ucum ORDER BY spellings) = 1
)

SELECT
    test_points.test_point,
    test_points.component,
    test_points.quantity,
    test_points.unit_ucum AS unit,
    coalesce(factors.base_ucum, test_points.unit_ucum) AS base_unit,
    coalesce(factors.factor, 1) AS factor,
    regexp_replace(test_points.test_point, '_(c_r|c_s|r_s)_ohm$', '', 'g') AS compressor,
FROM lookups.test_points AS test_points
LEFT JOIN factors ON test_points.unit_ucum = factors.ucum;
