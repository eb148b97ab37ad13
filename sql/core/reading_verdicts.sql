-- What was read at a known test point, judged by the limits that apply: each question once.
-- grain: one row per verdict_key (staged.reading_keys); core.reading_facts has one per reading.
-- unit: value and limits in the unit of the test point (test_points.unit_ucum).
-- counts: zone is what the number says against the limits: inside, doubtful, outside, or NULL where
--         nothing gives a verdict (no limits, a limit per nameplate without it, a sum without all
--         three windings, "more than" on the uncertain side). decision says the same with the
--         meter's error: inside or outside only with a probability of 0.95, else doubtful; without
--         a number it is the zone. Only decision = outside condemns a part. An open and a near-zero
--         reading have the test point's own verdict. What was seen or felt has the writer's word.
--         note_type = the rows of the register that may apply differ here: the verdict waits until
--         to_note (the type of the part, its rating) is noted. A broken sum rule and tens of volts on a dead wire are doubtful, never outside. Only
--         is_sharable readings enter a share: absolute limits that are not weak and wait for no type.
--         The limits are the shop's own row that applies (staged.own_limits), else the register's.
--         Noted temperature: the limits move, not the reading (copper, NTC beta, platinum). A ratio
--         needs the nameplate. The sum rule of three windings needs all three of one visit; the
--         leads are in the sum twice and in the third reading once. An open overload condemns no
--         winding.
--         meter_u is the standard uncertainty of the meter, NULL without a number.
-- source: half-width a of a meter's error as a rectangular distribution, u = a / sqrt(3): JCGM
--         100:2008, 4.3.7; JCGM 106:2012; limits from core.limits, each with its own source; IEC 60751 (platinum);
--         copper 0.00393/K at 20 Cel (IEC 60028, as quoted).
CREATE TABLE core.reading_verdicts AS
WITH questions AS (
    SELECT verdict_key, min(place) AS place,
    FROM staged.reading_keys
    GROUP BY verdict_key
),

known AS (
    SELECT
        keys.verdict_key,
        keys.limits_id AS chosen_limits,
        keys.run_ohm,
        keys.start_ohm,
        keys.is_overload_open,
        readings.test_point,
        test_units.component,
        test_units.quantity,
        test_units.unit,
        CASE WHEN readings.base_unit = test_units.base_unit
            THEN readings.base_value / nullif(test_units.factor, 0)
        END AS value,
        readings.is_open,
        readings.is_closed,
        readings.outcome,
        readings.comparator,
        readings.flags,
        readings.ambient_cel,
        readings.nameplate,
        readings.nameplate_unit,
        coalesce(meters.lead_ohm, any_meter.lead_ohm, 0) AS lead_ohm,
        coalesce(meters.accuracy_pct, any_meter.accuracy_pct) AS accuracy_pct,
        coalesce(meters.digits, any_meter.digits) AS digits,
        coalesce(meters.resolution, any_meter.resolution) AS resolution,
        coalesce(meters.counts, any_meter.counts) AS counts,
    FROM questions
    INNER JOIN staged.reading_keys AS keys ON questions.place = keys.place
    INNER JOIN core.readings AS readings
        ON keys.row_id = readings.row_id AND keys.item_no = readings.item_no
    INNER JOIN staged.test_units AS test_units ON readings.test_point = test_units.test_point
    LEFT JOIN core.meters AS meters
        ON keys.known_meter = meters.meter AND test_units.quantity = meters.quantity
    LEFT JOIN core.meters AS any_meter
        ON any_meter.meter = '' AND test_units.quantity = any_meter.quantity
),

limited AS (
    SELECT
        known.* EXCLUDE (chosen_limits, accuracy_pct, digits, resolution, counts),
        core.meter_half_width(
            known.value, known.accuracy_pct, known.digits, known.resolution, known.counts,
            known.lead_ohm
        ) / nullif(sqrt(3), 0) AS meter_u,
        limits.limits_id,
        limits.variant,
        limits.limit_basis,
        limits.confidence,
        limits.to_note,
        limits.open_verdict,
        limits.zero_verdict,
        core.real_low(limits.low, known.quantity) AS written_low,
        limits.high AS written_high,
        core.real_low(limits.fail_below, known.quantity) AS written_below,
        limits.fail_above AS written_above,
        CASE WHEN known.nameplate_unit = coalesce(limits.needs_nameplate, known.unit)
            THEN known.nameplate
            ELSE limits.nameplate
        END AS rated_value,
        core.moved_ratio(
            limits.temp_model, limits.alpha, limits.beta_low, limits.ref_temp_cel,
            known.ambient_cel
        ) AS first_ratio,
        core.moved_ratio(
            limits.temp_model, limits.alpha, limits.beta_high, limits.ref_temp_cel,
            known.ambient_cel
        ) AS second_ratio,
    FROM known
    LEFT JOIN core.limits AS limits ON known.chosen_limits = limits.limits_id
),

scaled AS (
    SELECT
        limited.*,
        limited.run_ohm + limited.start_ohm - limited.lead_ohm AS sum_ohm,
        greatest(0.5, 0.1 * limited.value) AS slack_ohm,
        core.limit_scale(limited.limit_basis, limited.rated_value) AS scale,
        least(limited.first_ratio, limited.second_ratio) AS low_ratio,
        greatest(limited.first_ratio, limited.second_ratio) AS high_ratio,
    FROM limited
),

bounded AS (
    SELECT
        scaled.* EXCLUDE (
            open_verdict, is_overload_open, written_low, written_high, written_below,
            written_above, first_ratio, second_ratio, low_ratio, high_ratio, scale, sum_ohm,
            slack_ohm, rated_value, run_ohm, start_ohm
        ),
        CASE WHEN is_overload_open AND limit_basis = 'absolute' THEN 'doubtful' ELSE open_verdict END
            AS open_verdict,
        CASE WHEN limits_id IS NOT NULL THEN first_ratio <> 1 OR second_ratio <> 1 END AS is_moved,
        CASE limit_basis
            WHEN 'sum_rule' THEN sum_ohm - slack_ohm
            ELSE written_low * scale * low_ratio
        END AS low,
        CASE limit_basis
            WHEN 'sum_rule' THEN sum_ohm + slack_ohm
            ELSE written_high * scale * high_ratio
        END AS high,
        written_below * scale * low_ratio AS fail_below,
        written_above * scale * high_ratio AS fail_above,
    FROM scaled
),

judged AS (
    SELECT
        bounded.*,
        core.is_weighed(
            bounded.value, bounded.comparator, bounded.is_open, bounded.is_closed,
            bounded.quantity, bounded.limit_basis, bounded.low, bounded.high, bounded.fail_below,
            bounded.fail_above, bounded.zero_verdict
        ) AS is_weighed,
        CASE
            WHEN bounded.quantity = 'observation' THEN CASE
                WHEN strpos(bounded.flags, 'seen_inside') > 0 THEN 'inside'
                WHEN strpos(bounded.flags, 'seen_outside') > 0 THEN 'outside'
            END
            ELSE core.reading_zone(
                bounded.value, bounded.comparator, bounded.is_open, bounded.is_closed,
                bounded.quantity, bounded.limit_basis, bounded.low, bounded.high,
                bounded.fail_below, bounded.fail_above, bounded.open_verdict, bounded.zero_verdict
            )
        END AS zone,
    FROM bounded
),

weighed AS (
    SELECT
        judged.* EXCLUDE (zone),
        core.noted_zone(zone, to_note, is_weighed) AS zone,
        CASE WHEN is_weighed
            THEN core.chance_inside(value, meter_u, low, high)
        END AS p_in,
        CASE WHEN is_weighed
            THEN core.chance_outside(value, meter_u, low, high, fail_below, fail_above)
        END AS p_out,
    FROM judged
)

SELECT
    weighed.* EXCLUDE (is_weighed),
    core.noted_zone(core.decided(p_in, p_out, zone), to_note, is_weighed) AS decision,
    coalesce(confidence = 'weak', FALSE) AS is_weak,
    coalesce(limit_basis = 'absolute' AND confidence <> 'weak' AND to_note IS NULL, FALSE)
        AS is_sharable,
FROM weighed
ORDER BY test_point, verdict_key;
