-- Every reading at a known test point in the unit of that point, with what is known around it.
-- grain: one row per loaded reading with a test point.
-- unit: value, nameplate and meter_u in the unit of the test point; service_volts in volts.
-- counts: service_volts is what the legs of the same job tell (both legs and both together read,
--         each leg at least 108 V), else the setting of the branch, else of the shop, else 240.
--         meter_u is the standard uncertainty of the meter, NULL without a number.
-- source: half-width a of a meter's error as a rectangular distribution, u = a / sqrt(3): JCGM
--         100:2008, 4.3.7. Leg to leg is sqrt(3) times a leg on 208Y/120 V, twice a leg on 240 V.
CREATE TABLE staged.reading_values AS
WITH factors AS (
    SELECT ucum, base_ucum, try_cast(factor_to_base AS DOUBLE) AS factor,
    FROM lookups.units
    WHERE ucum IS NOT NULL
    QUALIFY row_number() OVER (PARTITION BY ucum ORDER BY spellings) = 1
),

valued AS (
    SELECT
        readings.*,
        test_points.component,
        test_points.quantity,
        test_points.unit_ucum AS unit,
        coalesce(factors.factor, 1) AS factor,
        CASE WHEN readings.base_unit = coalesce(factors.base_ucum, test_points.unit_ucum)
            THEN readings.base_value / nullif(coalesce(factors.factor, 1), 0)
        END AS value,
    FROM core.readings AS readings
    INNER JOIN lookups.test_points AS test_points ON readings.test_point = test_points.test_point
    LEFT JOIN factors ON test_points.unit_ucum = factors.ucum
),

legs AS (
    SELECT
        job_id,
        max(value) FILTER (WHERE test_point = 'supply_l1_n_v') AS first_leg,
        max(value) FILTER (WHERE test_point = 'supply_l2_n_v') AS second_leg,
        max(value) FILTER (WHERE test_point IN (
            'supply_l1_l2_v', 'block_l1_l2_v', 'block_l1_l2_v_range'
        )) AS both_legs,
    FROM valued
    WHERE comparator = ''
        AND test_point IN (
            'supply_l1_n_v', 'supply_l2_n_v',
            'supply_l1_l2_v', 'block_l1_l2_v', 'block_l1_l2_v_range'
        )
    GROUP BY job_id
),

told AS (
    SELECT
        job_id,
        CASE WHEN both_legs < 0.933 * (first_leg + second_leg) THEN '208' ELSE '240' END AS volts,
    FROM legs
    WHERE first_leg >= 108
        AND second_leg >= 108
        AND both_legs > 1.5 * greatest(first_leg, second_leg)
)

SELECT
    valued.row_id,
    valued.item_no,
    valued.job_id,
    valued.visit_no,
    valued.seq,
    valued.test_point,
    valued.component,
    valued.quantity,
    valued.unit,
    valued.written_value,
    valued.value,
    valued.is_open,
    valued.is_closed,
    valued.outcome,
    valued.comparator,
    valued.flags,
    valued.ambient_cel,
    CASE
        WHEN valued.ambient_cel IS NULL THEN 'not noted'
        WHEN valued.ambient_cel BETWEEN 15 AND 30 THEN 'room'
        ELSE 'noted'
    END AS ambient_class,
    valued.test_min,
    valued.meter,
    valued.nameplate / nullif(valued.factor, 0) AS nameplate,
    coalesce(told.volts, of_branch.value, of_shop.value, '240') AS service_volts,
    told.volts IS NOT NULL AS is_service_told,
    coalesce(meters.lead_ohm, any_meter.lead_ohm, 0) AS lead_ohm,
    core.meter_half_width(
        valued.value,
        coalesce(meters.accuracy_pct, any_meter.accuracy_pct),
        coalesce(meters.digits, any_meter.digits),
        coalesce(meters.resolution, any_meter.resolution),
        coalesce(meters.counts, any_meter.counts),
        coalesce(meters.lead_ohm, any_meter.lead_ohm)
    ) / nullif(sqrt(3), 0) AS meter_u,
    coalesce(visits.technician, job_facts.technician) AS technician,
    coalesce(visits.arrived_at::DATE, job_facts.closed_on, job_facts.opened_on) AS read_on,
    job_facts.closed_on,
    job_facts.closed_month,
    job_facts.branch,
    job_facts.appliance_kind,
    job_facts.brand,
    job_facts.model,
    job_facts.symptom,
    job_facts.final_component,
FROM valued
INNER JOIN core.job_facts AS job_facts ON valued.job_id = job_facts.job_id
LEFT JOIN core.visits AS visits
    ON valued.job_id = visits.job_id AND valued.visit_no = visits.visit_no
LEFT JOIN told ON valued.job_id = told.job_id
LEFT JOIN core.settings AS of_branch ON of_branch.key = 'service_volts: ' || job_facts.branch
LEFT JOIN core.settings AS of_shop ON of_shop.key = 'service_volts'
LEFT JOIN core.meters AS meters
    ON core.folded(valued.meter) = meters.meter AND valued.quantity = meters.quantity
LEFT JOIN core.meters AS any_meter
    ON any_meter.meter = '' AND valued.quantity = any_meter.quantity;
