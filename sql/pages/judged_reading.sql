-- One reading judged by the same rules as the load: zone, probabilities, limits used, arithmetic.
-- grain: one row; none for an unknown test point; limits_id NULL = no limits apply.
-- unit: value, nameplate, limits and meter_u in the unit of the test point; degrees Celsius.
-- counts: as core.reading_facts; the sum rule needs three readings and
--         gives no verdict on one.
-- source: JCGM 106:2012.
WITH asked AS (
    SELECT
        test_points.*,
        $value::DOUBLE AS value,
        coalesce($is_open::BOOLEAN, FALSE) AS is_open,
        coalesce($comparator::VARCHAR, '') AS comparator,
        $ambient_cel::DOUBLE AS ambient_cel,
        $nameplate::DOUBLE AS own_nameplate,
        coalesce($service_volts::VARCHAR, '240') AS service_volts,
        meters.accuracy_pct,
        meters.digits,
        meters.resolution,
        meters.counts,
        meters.lead_ohm,
    FROM lookups.test_points AS test_points
    LEFT JOIN core.meters AS meters
        ON test_points.quantity = meters.quantity
        AND meters.meter IN ('', core.folded(coalesce($meter::VARCHAR, '')))
    WHERE test_points.test_point = $test_point::VARCHAR
    QUALIFY row_number() OVER (ORDER BY meters.meter DESC NULLS LAST) = 1
),

chosen AS (
    SELECT
        asked.* EXCLUDE (service_volts),
        limits.* EXCLUDE (test_point, unit, nameplate, service_volts, kind),
        coalesce(asked.own_nameplate, limits.nameplate) AS nameplate,
        core.moved_ratio(
            limits.temp_model, limits.alpha, limits.beta_low, limits.ref_temp_cel, asked.ambient_cel
        ) AS first_ratio,
        core.moved_ratio(
            limits.temp_model, limits.alpha, limits.beta_high, limits.ref_temp_cel, asked.ambient_cel
        ) AS second_ratio,
    FROM asked
    LEFT JOIN core.limits AS limits
        ON asked.test_point = limits.test_point
        AND (limits.kind IS NULL OR limits.kind = $kind::VARCHAR)
        AND (limits.brand IS NULL OR limits.brand = core.folded($brand::VARCHAR))
        AND (limits.model IS NULL OR limits.model = core.folded($model::VARCHAR))
        AND (limits.valid_from IS NULL OR limits.valid_from <= $read_on::DATE)
        AND (limits.valid_to IS NULL OR limits.valid_to >= $read_on::DATE)
        AND core.limits_fit(
            limits.is_default,
            limits.service_volts,
            limits.needs_ambient,
            asked.service_volts,
            asked.ambient_cel
        )
    QUALIFY row_number() OVER (
        ORDER BY
            limits.specificity DESC NULLS LAST,
            limits.is_own DESC,
            limits.needs_ambient IS NOT NULL DESC,
            limits.is_default DESC,
            limits.valid_from DESC NULLS LAST,
            limits.limits_id
    ) = 1
),

scaled AS (
    SELECT
        chosen.*,
        least(first_ratio, second_ratio) AS low_ratio,
        greatest(first_ratio, second_ratio) AS high_ratio,
        CASE limit_basis
            WHEN 'absolute' THEN 1.0
            WHEN 'ratio_to_nameplate' THEN nameplate
        END AS scale,
        core.meter_half_width(
            value, accuracy_pct, digits, resolution, counts, lead_ohm
        ) AS half_width,
    FROM chosen
),

placed AS (
    SELECT
        scaled.* EXCLUDE (low, high, fail_below, fail_above),
        low AS register_low,
        high AS register_high,
        core.real_low(low, quantity) * scale * low_ratio AS low,
        high * scale * high_ratio AS high,
        core.real_low(fail_below, quantity) * scale * low_ratio AS fail_below,
        fail_above * scale * high_ratio AS fail_above,
        half_width / nullif(sqrt(3), 0) AS meter_u,
    FROM scaled
),

judged AS (
    SELECT
        placed.*,
        core.reading_zone(
            value, comparator, is_open, FALSE, quantity, limit_basis, low, high, fail_below,
            fail_above, open_verdict, zero_verdict
        ) AS zone,
        core.is_weighed(
            value, comparator, is_open, FALSE, quantity, limit_basis, low, high, fail_below,
            zero_verdict
        ) AS is_weighed,
        core.chance_inside(value, meter_u, low, high) AS chance_in,
        core.chance_outside(value, meter_u, low, high, fail_below, fail_above) AS chance_out,
    FROM placed
)

SELECT
    test_point,
    component,
    quantity,
    unit_ucum AS unit,
    energised,
    hazards,
    limits_id,
    variant,
    is_own,
    limit_basis,
    confidence,
    source_class,
    source,
    formula,
    note,
    open_verdict,
    zero_verdict,
    temp_model,
    temp_params,
    ref_temp_cel,
    nameplate,
    register_low,
    register_high,
    low_ratio,
    high_ratio,
    low,
    high,
    fail_below,
    fail_above,
    accuracy_pct,
    digits,
    greatest(
        resolution,
        pow(10, ceil(log10(greatest(abs(value), 1e-12) / nullif(counts, 0))))
    ) AS digit,
    lead_ohm,
    half_width,
    meter_u,
    zone,
    CASE WHEN is_weighed THEN chance_in END AS p_in,
    CASE WHEN is_weighed THEN chance_out END AS p_out,
    core.decided(
        CASE WHEN is_weighed THEN chance_in END, CASE WHEN is_weighed THEN chance_out END, zone
    ) AS decision,
FROM judged
ORDER BY test_point;
