-- Every reading at a known test point, judged by the limits that apply.
-- grain: one row per loaded reading with a test point.
-- unit: value and limits in the unit of the test point (test_points.unit_ucum).
-- counts: zone is what the number says against the limits: inside, doubtful, outside, or NULL where
--         nothing gives a verdict (no limits, a limit per nameplate without it, a sum without all
--         three windings, "more than" on the uncertain side). decision says the same with the
--         meter's error: inside or outside only with a probability of 0.95, else doubtful; without
--         a number it is the zone. Only decision = outside condemns a part. An open and a near-zero
--         reading have the test point's own verdict. What was seen or felt has the writer's word.
--         note_type = the rows of the register that may apply differ here: the verdict waits until
--         to_note (the type of the part, its rating) is noted. A broken sum rule and tens of volts on a dead wire are doubtful, never outside. Only
--         is_sharable readings enter a share: absolute limits that are not weak and wait for no type. is_new_part: read
--         on a later visit than the one that fitted the part.
--         The limits are the shop's own row that applies (staged.own_limits), else the register's.
--         Noted temperature: the limits move, not the reading (copper, NTC beta, platinum). A ratio
--         needs the nameplate. The sum rule of three windings needs all three of one visit; the
--         leads are in the sum twice and in the third reading once. An open overload condemns no
--         winding.
--         meter_u is the standard uncertainty of the meter, NULL without a number.
-- source: half-width a of a meter's error as a rectangular distribution, u = a / sqrt(3): JCGM
--         100:2008, 4.3.7; JCGM 106:2012; limits from core.limits, each with its own source; IEC 60751 (platinum);
--         copper 0.00393/K at 20 Cel (IEC 60028, as quoted).
CREATE TABLE core.reading_facts AS
WITH known AS (
    SELECT
        readings.row_id,
        readings.item_no,
        readings.job_id,
        readings.visit_no,
        readings.seq,
        readings.test_point,
        test_units.component,
        test_units.quantity,
        test_units.unit,
        readings.written_value,
        CASE WHEN readings.base_unit = test_units.base_unit
            THEN readings.base_value / nullif(test_units.factor, 0)
        END AS value,
        readings.is_open,
        readings.is_closed,
        readings.outcome,
        readings.comparator,
        readings.flags,
        readings.ambient_cel,
        cases.case_id,
        readings.test_min,
        readings.meter,
        readings.nameplate,
        readings.nameplate_unit,
        cases.service_volts,
        coalesce(meters.lead_ohm, any_meter.lead_ohm, 0) AS lead_ohm,
        coalesce(meters.accuracy_pct, any_meter.accuracy_pct) AS accuracy_pct,
        coalesce(meters.digits, any_meter.digits) AS digits,
        coalesce(meters.resolution, any_meter.resolution) AS resolution,
        coalesce(meters.counts, any_meter.counts) AS counts,
        coalesce(visits.technician, job_facts.technician) AS technician,
        core.read_on(visits.arrived_at, job_facts.closed_on, job_facts.opened_on) AS read_on,
        job_facts.closed_on,
        job_facts.closed_month,
        job_facts.branch,
        job_facts.appliance_kind,
        job_facts.brand,
        job_facts.model,
        job_facts.symptom,
        job_facts.final_component,
    FROM core.readings AS readings
    INNER JOIN staged.test_units AS test_units ON readings.test_point = test_units.test_point
    INNER JOIN core.job_facts AS job_facts ON readings.job_id = job_facts.job_id
    INNER JOIN staged.reading_cases AS cases
        ON readings.row_id = cases.row_id AND readings.item_no = cases.item_no
    LEFT JOIN core.visits AS visits
        ON readings.job_id = visits.job_id AND readings.visit_no = visits.visit_no
    LEFT JOIN staged.words AS meter_text ON readings.meter = meter_text.text
    LEFT JOIN core.meters AS meters
        ON meter_text.word = meters.meter AND test_units.quantity = meters.quantity
    LEFT JOIN core.meters AS any_meter
        ON any_meter.meter = '' AND test_units.quantity = any_meter.quantity
),

replaced AS (
    SELECT job_id, component, min(coalesce(visit_no, 1)) AS visit_no,
    FROM core.part_lines
    WHERE component IS NOT NULL
    GROUP BY job_id, component
),

limited AS (
    SELECT
        known.* EXCLUDE (case_id, accuracy_pct, digits, resolution, counts),
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
    LEFT JOIN staged.own_limits AS own_limits
        ON known.row_id = own_limits.row_id AND known.item_no = own_limits.item_no
    LEFT JOIN staged.register_limits AS register_limits
        ON known.case_id = register_limits.case_id
    LEFT JOIN core.limits AS limits
        ON limits.limits_id = coalesce(own_limits.limits_id, register_limits.limits_id)
),

scaled AS (
    SELECT
        limited.*,
        windings.is_overload_open,
        windings.run_ohm + windings.start_ohm - limited.lead_ohm AS sum_ohm,
        greatest(0.5, 0.1 * limited.value) AS slack_ohm,
        core.limit_scale(limited.limit_basis, limited.rated_value) AS scale,
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
    LEFT JOIN replaced
        ON bounded.job_id = replaced.job_id AND bounded.component = replaced.component
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
FROM weighed;
