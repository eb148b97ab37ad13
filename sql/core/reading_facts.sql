-- Every reading at a known test point, judged by the limits that apply.
-- grain: one row per loaded reading with a test point.
-- unit: value and limits in the unit of the test point (test_points.unit_ucum).
-- counts: zone is inside, doubtful, outside, or NULL where nothing gives a verdict (ratio rows, no
--         number). An open and a near-zero reading have the test point's own verdict. What was seen
--         or felt has the writer's word as its zone. Only is_sharable readings enter a share: limits
--         in numbers that are not weak.
-- source: limits and zones from sql/lookups/tolerances.csv, each row with its own source.
CREATE TABLE core.reading_facts AS
WITH replaced AS (
    SELECT DISTINCT job_id, component
    FROM core.part_lines
    WHERE component IS NOT NULL
),

valued AS (
    SELECT
        readings.row_id,
        readings.item_no,
        readings.job_id,
        readings.visit_no,
        readings.seq,
        readings.test_point,
        test_points.component,
        test_points.quantity,
        test_points.unit_ucum AS unit,
        readings.written_value,
        CASE WHEN readings.base_unit = coalesce(units.base_ucum, test_points.unit_ucum)
            THEN readings.base_value / coalesce(try_cast(units.factor_to_base AS DOUBLE), 1)
        END AS value,
        readings.is_open,
        readings.is_closed,
        readings.outcome,
        readings.comparator,
        readings.flags,
        readings.ambient_cel,
        readings.test_min,
        limits.limits_id,
        limits.limit_basis,
        limits.low,
        limits.high,
        limits.fail_below,
        limits.fail_above,
        limits.open_verdict,
        limits.zero_verdict,
        limits.confidence,
        visits.technician AS visit_technician,
        replaced.component IS NOT NULL AS is_replaced,
    FROM core.readings AS readings
    INNER JOIN lookups.test_points AS test_points ON readings.test_point = test_points.test_point
    LEFT JOIN (
        SELECT ucum, base_ucum, factor_to_base
        FROM lookups.units
        WHERE ucum IS NOT NULL
        QUALIFY row_number() OVER (PARTITION BY ucum ORDER BY spellings) = 1
    ) AS units ON test_points.unit_ucum = units.ucum
    LEFT JOIN core.limits AS limits
        ON readings.test_point = limits.test_point AND limits.is_default
    LEFT JOIN core.visits AS visits
        ON readings.job_id = visits.job_id AND readings.visit_no = visits.visit_no
    LEFT JOIN replaced
        ON readings.job_id = replaced.job_id AND test_points.component = replaced.component
)

SELECT
    valued.* EXCLUDE (visit_technician, is_near_zero),
    coalesce(valued.visit_technician, job_facts.technician) AS technician,
    job_facts.closed_on,
    job_facts.closed_month,
    job_facts.branch,
    job_facts.appliance_kind,
    job_facts.symptom,
    coalesce(valued.confidence = 'weak', FALSE) AS is_weak,
    coalesce(valued.limit_basis = 'absolute' AND valued.confidence <> 'weak', FALSE) AS is_sharable,
    CASE
        WHEN valued.quantity = 'observation' THEN CASE
            WHEN strpos(valued.flags, 'seen_inside') > 0 THEN 'inside'
            WHEN strpos(valued.flags, 'seen_outside') > 0 THEN 'outside'
        END
        WHEN valued.limits_id IS NULL OR valued.limit_basis <> 'absolute' THEN NULL
        WHEN valued.is_open THEN CASE valued.open_verdict
            WHEN 'pass' THEN 'inside'
            WHEN 'doubtful' THEN 'doubtful'
            WHEN 'fail' THEN 'outside'
        END
        WHEN valued.is_closed OR valued.is_near_zero THEN CASE valued.zero_verdict
            WHEN 'pass' THEN 'inside'
            WHEN 'doubtful' THEN 'doubtful'
            WHEN 'fail' THEN 'outside'
        END
        WHEN valued.value IS NULL OR valued.comparator <> '' THEN NULL
        WHEN valued.value >= coalesce(valued.low, -1e300)
            AND valued.value <= coalesce(valued.high, 1e300) THEN 'inside'
        WHEN valued.value < valued.low
            AND valued.value >= coalesce(valued.fail_below, valued.low) THEN 'doubtful'
        WHEN valued.value > valued.high
            AND valued.value <= coalesce(valued.fail_above, valued.high) THEN 'doubtful'
        ELSE 'outside'
    END AS zone,
FROM (
    SELECT
        valued.*,
        zero_verdict <> 'na' AND abs(value) <= CASE quantity
            WHEN 'resistance' THEN 0.5
            WHEN 'continuity' THEN 0.5
            WHEN 'AC voltage' THEN 1
            WHEN 'DC voltage' THEN 1
            ELSE 0
        END AS is_near_zero,
    FROM valued
) AS valued
INNER JOIN core.job_facts AS job_facts ON valued.job_id = job_facts.job_id
ORDER BY job_facts.closed_on, valued.job_id, valued.seq;
