-- Every reading at a known test point, judged by the limits that apply.
-- grain: one row per loaded reading with a test point.
-- unit: value and limits in the unit of the test point (test_points.unit_ucum).
-- counts: zone is what the number says against the limits: inside, doubtful, outside, or NULL where
--         nothing gives a verdict (no limits, a ratio without its nameplate, a sum without all
--         three windings, "more than" on the uncertain side). decision says the same with the
--         meter's error: inside or outside only with a probability of 0.95, else doubtful; without
--         a number it is the zone. Only decision = outside condemns a part. An open and a near-zero
--         reading have the test point's own verdict. What was seen or felt has the writer's word.
--         A broken sum rule and tens of volts on a dead wire are doubtful, never outside. Only
--         is_sharable readings enter a share: absolute limits that are not weak. is_new_part: read
--         on a later visit than the one that fitted the part.
--         The limits are the shop's own row that applies (staged.own_limits), else the register's.
--         Noted temperature: the limits move, not the reading (copper, NTC beta, platinum). A ratio
--         needs the nameplate. The sum rule of three windings needs all three of one visit; the
--         leads are in the sum twice and in the third reading once. An open overload condemns no
--         winding.
-- source: JCGM 106:2012; limits from core.limits, each with its own source; IEC 60751 (platinum);
--         copper 0.00393/K at 20 Cel (IEC 60028, as quoted).
CREATE TABLE core.reading_facts AS
WITH replaced AS (
    SELECT job_id, component, min(coalesce(visit_no, 1)) AS visit_no,
    FROM core.part_lines
    WHERE component IS NOT NULL
    GROUP BY job_id, component
),

limited AS (
    SELECT
        readings.* EXCLUDE (ambient_class),
        limits.limits_id,
        limits.is_own AS is_own_limit,
        limits.variant,
        limits.limit_basis,
        limits.confidence,
        limits.open_verdict,
        limits.zero_verdict,
        core.real_low(limits.low, readings.quantity) AS written_low,
        limits.high AS written_high,
        core.real_low(limits.fail_below, readings.quantity) AS written_below,
        limits.fail_above AS written_above,
        coalesce(readings.nameplate, limits.nameplate) AS rated_value,
        core.moved_ratio(
            limits.temp_model, limits.alpha, limits.beta_low, limits.ref_temp_cel,
            readings.ambient_cel
        ) AS first_ratio,
        core.moved_ratio(
            limits.temp_model, limits.alpha, limits.beta_high, limits.ref_temp_cel,
            readings.ambient_cel
        ) AS second_ratio,
    FROM staged.reading_values AS readings
    LEFT JOIN staged.own_limits AS own_limits
        ON readings.row_id = own_limits.row_id AND readings.item_no = own_limits.item_no
    LEFT JOIN staged.register_limits AS register_limits
        ON readings.test_point = register_limits.test_point
        AND readings.service_volts = register_limits.service_volts
        AND readings.ambient_class = register_limits.ambient_class
    LEFT JOIN core.limits AS limits
        ON limits.limits_id = coalesce(own_limits.limits_id, register_limits.limits_id)
),

scaled AS (
    SELECT
        limited.*,
        windings.is_overload_open,
        windings.run_ohm + windings.start_ohm - limited.lead_ohm AS sum_ohm,
        greatest(0.5, 0.1 * limited.value) AS slack_ohm,
        CASE limited.limit_basis
            WHEN 'absolute' THEN 1.0
            WHEN 'ratio_to_nameplate' THEN limited.rated_value
        END AS scale,
        least(limited.first_ratio, limited.second_ratio) AS low_ratio,
        greatest(limited.first_ratio, limited.second_ratio) AS high_ratio,
    FROM limited
    LEFT JOIN staged.windings AS windings
        ON limited.job_id = windings.job_id
        AND coalesce(limited.visit_no, 1) = windings.visit_no
        AND regexp_replace(limited.test_point, '_(c_r|c_s|r_s)_ohm$', '', 'g')
            = windings.compressor
),

bounded AS (
    SELECT
        scaled.* EXCLUDE (
            open_verdict, is_overload_open, written_low, written_high, written_below,
            written_above, first_ratio, second_ratio, low_ratio, high_ratio, scale, sum_ohm,
            slack_ohm, rated_value
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
        replaced.component IS NOT NULL AS is_replaced,
        coalesce(bounded.visit_no > replaced.visit_no, FALSE) AS is_new_part,
        core.is_weighed(
            bounded.value, bounded.comparator, bounded.is_open, bounded.is_closed,
            bounded.quantity, bounded.limit_basis, bounded.low, bounded.high, bounded.fail_below,
            bounded.zero_verdict
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
    LEFT JOIN replaced
        ON bounded.job_id = replaced.job_id AND bounded.component = replaced.component
),

weighed AS (
    SELECT
        judged.* EXCLUDE (is_weighed),
        CASE WHEN is_weighed
            THEN core.chance_inside(value, meter_u, low, high)
        END AS p_in,
        CASE WHEN is_weighed
            THEN core.chance_outside(value, meter_u, low, high, fail_below, fail_above)
        END AS p_out,
    FROM judged
)

SELECT
    weighed.*,
    core.decided(p_in, p_out, zone) AS decision,
    coalesce(confidence = 'weak', FALSE) AS is_weak,
    coalesce(limit_basis = 'absolute' AND confidence <> 'weak', FALSE) AS is_sharable,
FROM weighed;
