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
        $nameplate_unit::VARCHAR AS nameplate_unit,
        coalesce($service_volts::VARCHAR, '240') AS service_volts,
        core.folded(coalesce($noted::VARCHAR, '')) AS noted_words,
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

typed AS (
    SELECT DISTINCT limit_words.limits_id,
    FROM asked
    INNER JOIN core.limit_words AS limit_words
        ON strpos(' ' || asked.noted_words || ' ', ' ' || limit_words.word || ' ') > 0
),

chosen AS (
    SELECT
        asked.* EXCLUDE (service_volts),
        limits.* EXCLUDE (test_point, unit, nameplate, service_volts, kind),
        CASE WHEN asked.nameplate_unit = coalesce(limits.needs_nameplate, asked.unit_ucum)
            THEN asked.own_nameplate
            ELSE limits.nameplate
        END AS nameplate,
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
            limits.kinds,
            limits.type_words,
            limits.needs_nameplate,
            asked.service_volts,
            core.ambient_class(asked.ambient_cel),
            $kind::VARCHAR,
            limits.type_words IS NULL OR limits.limits_id IN (SELECT limits_id FROM typed),
            core.rating_of(asked.own_nameplate, asked.nameplate_unit)
        )
    QUALIFY row_number() OVER (
        ORDER BY
            limits.specificity DESC NULLS LAST,
            limits.is_own DESC,
            limits.type_words IS NOT NULL DESC,
            limits.needs_nameplate IS NOT NULL DESC,
            limits.needs_ambient IS NOT NULL DESC,
            limits.kinds IS NOT NULL DESC,
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
        core.limit_scale(limit_basis, nameplate) AS scale,
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
            fail_above, zero_verdict
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
    to_note,
    core.noted_zone(zone, to_note, is_weighed) AS zone,
    CASE WHEN is_weighed THEN chance_in END AS p_in,
    CASE WHEN is_weighed THEN chance_out END AS p_out,
    core.noted_zone(
        core.decided(
            CASE WHEN is_weighed THEN chance_in END, CASE WHEN is_weighed THEN chance_out END, zone
        ),
        to_note,
        is_weighed
    ) AS decision,
FROM judged
ORDER BY test_point;
