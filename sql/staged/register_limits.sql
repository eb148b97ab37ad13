-- Which row of the register applies to each kind of case, for what a reading may know around it.
-- grain: one row per case (staged.reading_cases) that has limits.
-- counts: one that asks for what is known before one that asks for nothing: the type of the part, the
--         nameplate, the temperature, the kind of appliance.
-- source: core.limits, each with its own source.
CREATE TABLE staged.register_limits AS
WITH cases AS (
    SELECT DISTINCT
        case_id, test_point, appliance_kind, service_volts, ambient_class, rating, noted_words,
    FROM staged.reading_cases
)

SELECT cases.case_id, limits.limits_id,
FROM cases
INNER JOIN core.limits AS limits ON cases.test_point = limits.test_point AND NOT limits.is_own
LEFT JOIN staged.noted_types AS typed
    ON cases.noted_words = typed.noted_words AND limits.limits_id = typed.limits_id
WHERE core.limits_fit(
    limits.is_default,
    limits.service_volts,
    limits.needs_ambient,
    limits.kinds,
    limits.type_words,
    limits.needs_nameplate,
    cases.service_volts,
    cases.ambient_class,
    cases.appliance_kind,
    typed.limits_id IS NOT NULL,
    cases.rating
)
QUALIFY row_number() OVER (
    PARTITION BY cases.case_id
    ORDER BY
        limits.type_words IS NOT NULL DESC,
        limits.needs_nameplate IS NOT NULL DESC,
        limits.needs_ambient IS NOT NULL DESC,
        limits.kinds IS NOT NULL DESC,
        limits.is_default DESC,
        limits.limits_id
) = 1;
