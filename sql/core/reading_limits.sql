-- Which limits apply to each reading, as numbers in its unit at its temperature.
-- grain: one row per row of core.reading_values; limits_id NULL = no limits apply.
-- unit: the unit of the test point.
-- counts: the most specific row valid on the day of the reading: model, brand and kind, kind, any;
--         the shop's own before the register's; one that asks for what is known before one that
--         asks for nothing. Noted temperature: the limits move, not the reading (copper, NTC beta,
--         platinum). A ratio needs the nameplate. The sum rule of three windings needs all three
--         of one visit; the leads are in the sum twice and in the third reading once. Both legs to
--         common open while run to start is not: the overload is open, which condemns no winding.
-- source: IEC 60751 (platinum); copper 0.00393/K at 20 Cel (IEC 60028, as quoted).
CREATE TABLE core.reading_limits AS
WITH chosen AS (
    SELECT
        readings.row_id,
        readings.item_no,
        readings.job_id,
        readings.visit_no,
        readings.test_point,
        readings.value,
        readings.quantity,
        readings.lead_ohm,
        limits.* EXCLUDE (test_point, kind, brand, model, unit, nameplate, valid_from, valid_to),
        coalesce(readings.nameplate, limits.nameplate) AS nameplate,
        core.moved_ratio(
            limits.temp_model, limits.alpha, limits.beta_low, limits.ref_temp_cel, readings.ambient_cel
        ) AS first_ratio,
        core.moved_ratio(
            limits.temp_model, limits.alpha, limits.beta_high, limits.ref_temp_cel, readings.ambient_cel
        ) AS second_ratio,
    FROM core.reading_values AS readings
    INNER JOIN core.limits AS limits
        ON readings.test_point = limits.test_point
        AND (limits.kind IS NULL OR limits.kind = readings.appliance_kind)
        AND (limits.brand IS NULL OR limits.brand = core.folded(readings.brand))
        AND (limits.model IS NULL OR limits.model = core.folded(readings.model))
        AND (limits.valid_from IS NULL OR limits.valid_from <= readings.read_on)
        AND (limits.valid_to IS NULL OR limits.valid_to >= readings.read_on)
        AND core.limits_fit(
            limits.is_default,
            limits.service_volts,
            limits.needs_ambient,
            readings.service_volts,
            readings.ambient_cel
        )
    QUALIFY row_number() OVER (
        PARTITION BY readings.row_id, readings.item_no
        ORDER BY
            limits.specificity DESC,
            limits.is_own DESC,
            limits.needs_ambient IS NOT NULL DESC,
            limits.is_default DESC,
            limits.valid_from DESC NULLS LAST,
            limits.limits_id
    ) = 1
),

windings AS (
    SELECT
        job_id,
        coalesce(visit_no, 1) AS visit_no,
        regexp_replace(test_point, '_(c_r|c_s|r_s)_ohm$', '') AS compressor,
        max(value) FILTER (WHERE ends_with(test_point, 'c_r_ohm')) AS run_ohm,
        max(value) FILTER (WHERE ends_with(test_point, 'c_s_ohm')) AS start_ohm,
        count(DISTINCT test_point) FILTER (
            WHERE is_open AND NOT ends_with(test_point, 'r_s_ohm')
        ) = 2
            AND count(value) FILTER (WHERE ends_with(test_point, 'r_s_ohm')) > 0
            AS is_overload_open,
    FROM core.reading_values
    WHERE regexp_matches(test_point, '_(c_r|c_s|r_s)_ohm$') AND comparator = ''
    GROUP BY ALL
),

scaled AS (
    SELECT
        chosen.*,
        coalesce(windings.is_overload_open, FALSE) AS is_overload_open,
        windings.run_ohm + windings.start_ohm - chosen.lead_ohm AS sum_ohm,
        greatest(0.5, 0.1 * chosen.value) AS slack_ohm,
        CASE chosen.limit_basis
            WHEN 'absolute' THEN 1.0
            WHEN 'ratio_to_nameplate' THEN chosen.nameplate
        END AS scale,
        least(chosen.first_ratio, chosen.second_ratio) AS low_ratio,
        greatest(chosen.first_ratio, chosen.second_ratio) AS high_ratio,
    FROM chosen
    LEFT JOIN windings
        ON chosen.job_id = windings.job_id
        AND coalesce(chosen.visit_no, 1) = windings.visit_no
        AND regexp_replace(chosen.test_point, '_(c_r|c_s|r_s)_ohm$', '') = windings.compressor
)

SELECT
    row_id,
    item_no,
    limits_id,
    is_own AS is_own_limit,
    variant,
    limit_basis,
    confidence,
    CASE WHEN is_overload_open AND limit_basis = 'absolute' THEN 'doubtful' ELSE open_verdict END
        AS open_verdict,
    zero_verdict,
    first_ratio <> 1 OR second_ratio <> 1 AS is_moved,
    CASE limit_basis
        WHEN 'sum_rule' THEN sum_ohm - slack_ohm
        ELSE core.real_low(low, quantity) * scale * low_ratio
    END AS low,
    CASE limit_basis
        WHEN 'sum_rule' THEN sum_ohm + slack_ohm
        ELSE high * scale * high_ratio
    END AS high,
    core.real_low(fail_below, quantity) * scale * low_ratio AS fail_below,
    fail_above * scale * high_ratio AS fail_above,
FROM scaled
ORDER BY row_id, item_no;
