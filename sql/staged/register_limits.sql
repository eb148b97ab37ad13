-- Which row of the register applies at each test point, for what a reading may know around it.
-- grain: one row per test point, service voltage (as found in the jobs) and ambient class.
-- counts: one that asks for what is known before one that asks for nothing. ambient_class says what is
--         known of the temperature: not noted, room (15 to 30 Cel), noted (any other).
-- source: core.limits, each with its own source.
CREATE TABLE staged.register_limits AS
WITH voltages AS (
    SELECT DISTINCT service_volts FROM staged.service_volts
),

temperatures AS (
    SELECT 'not noted' AS ambient_class, NULL::DOUBLE AS example_cel
    UNION ALL
    SELECT 'room', 20.0::DOUBLE
    UNION ALL
    SELECT 'noted', 100.0::DOUBLE
)

SELECT
    limits.test_point,
    voltages.service_volts,
    temperatures.ambient_class,
    limits.limits_id,
FROM core.limits AS limits
CROSS JOIN voltages
CROSS JOIN temperatures
WHERE NOT limits.is_own
    AND core.limits_fit(
        limits.is_default,
        limits.service_volts,
        limits.needs_ambient,
        voltages.service_volts,
        temperatures.example_cel
    )
QUALIFY row_number() OVER (
    PARTITION BY limits.test_point, voltages.service_volts, temperatures.ambient_class
    ORDER BY
        limits.needs_ambient IS NOT NULL DESC,
        limits.is_default DESC,
        limits.limits_id
) = 1;
