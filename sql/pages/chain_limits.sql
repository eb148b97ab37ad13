-- What each test of a chain should read when nothing is noted: the limits that apply, or the words.
-- grain: one row per appliance kind and test point of its chains.
-- unit: limits in the unit of the test point.
-- by_type: the limits of each type, where the type decides.
-- counts: the rules of core.reading_facts for a reading without temperature, type or nameplate; the
--         shop's own limits of $brand and $model first. to_note = what must be noted before there is a
--         verdict. good = what a look should show.
WITH points AS (
    SELECT DISTINCT chains.kind AS appliance_kind, test_points.*,
    FROM lookups.chains AS chains
    INNER JOIN lookups.test_points AS test_points ON chains.test_point = test_points.test_point
),

typed AS (
    SELECT
        points.appliance_kind,
        points.test_point,
        list(
            {
                'type': limits.variant,
                'basis': limits.limit_basis,
                'low': core.real_low(limits.low, points.quantity),
                'high': limits.high
            }
            ORDER BY limits.limits_id
        ) AS by_type,
    FROM points
    INNER JOIN core.limits AS limits ON points.test_point = limits.test_point
    WHERE limits.type_words IS NOT NULL
        AND limits.limit_basis IN ('absolute', 'ratio_to_nameplate')
        AND NOT limits.is_own
        AND (
            limits.kinds IS NULL
            OR list_contains(string_split(limits.kinds, '|'), points.appliance_kind)
        )
    GROUP BY points.appliance_kind, points.test_point
)

SELECT
    points.appliance_kind,
    points.test_point,
    points.good,
    points.quantity,
    limits.limit_basis,
    core.real_low(limits.low, points.quantity) AS low,
    limits.high,
    points.unit_ucum AS unit,
    limits.to_note,
    limits.temp_model,
    typed.by_type,
FROM points
CROSS JOIN core.dataset AS dataset
LEFT JOIN core.limits AS limits
    ON points.test_point = limits.test_point
    AND (limits.kind IS NULL OR limits.kind = points.appliance_kind)
    AND (limits.brand IS NULL OR limits.brand = core.folded($brand::VARCHAR))
    AND (limits.model IS NULL OR limits.model = core.folded($model::VARCHAR))
    AND (limits.valid_from IS NULL OR limits.valid_from <= dataset.as_of)
    AND (limits.valid_to IS NULL OR limits.valid_to >= dataset.as_of)
    AND core.limits_fit(
        limits.is_default,
        limits.service_volts,
        limits.needs_ambient,
        limits.kinds,
        limits.type_words,
        limits.needs_nameplate,
        coalesce($service_volts::VARCHAR, '240'),
        core.ambient_class(NULL),
        points.appliance_kind,
        limits.type_words IS NULL,
        NULL
    )
LEFT JOIN typed
    ON points.appliance_kind = typed.appliance_kind AND points.test_point = typed.test_point
QUALIFY row_number() OVER (
    PARTITION BY points.appliance_kind, points.test_point
    ORDER BY
        limits.specificity DESC NULLS LAST,
        limits.is_own DESC,
        limits.kinds IS NOT NULL DESC,
        limits.is_default DESC,
        limits.valid_from DESC NULLS LAST,
        limits.limits_id
) = 1
ORDER BY points.appliance_kind, points.test_point;
