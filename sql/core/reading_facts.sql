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
-- source: JCGM 106:2012; limits from core.limits, each with its own source.
CREATE TABLE core.reading_facts AS
WITH replaced AS (
    SELECT job_id, component, min(coalesce(visit_no, 1)) AS visit_no,
    FROM core.part_lines
    WHERE component IS NOT NULL
    GROUP BY job_id, component
),

judged AS (
    SELECT
        readings.*,
        limits.* EXCLUDE (row_id, item_no),
        replaced.component IS NOT NULL AS is_replaced,
        coalesce(readings.visit_no > replaced.visit_no, FALSE) AS is_new_part,
        core.is_weighed(
            readings.value, readings.comparator, readings.is_open, readings.is_closed,
            readings.quantity, limits.limit_basis, limits.low, limits.high, limits.fail_below,
            limits.zero_verdict
        ) AS is_weighed,
        CASE
            WHEN readings.quantity = 'observation' THEN CASE
                WHEN strpos(readings.flags, 'seen_inside') > 0 THEN 'inside'
                WHEN strpos(readings.flags, 'seen_outside') > 0 THEN 'outside'
            END
            ELSE core.reading_zone(
                readings.value, readings.comparator, readings.is_open, readings.is_closed,
                readings.quantity, limits.limit_basis, limits.low, limits.high, limits.fail_below,
                limits.fail_above, limits.open_verdict, limits.zero_verdict
            )
        END AS zone,
    FROM core.reading_values AS readings
    LEFT JOIN core.reading_limits AS limits
        ON readings.row_id = limits.row_id AND readings.item_no = limits.item_no
    LEFT JOIN replaced
        ON readings.job_id = replaced.job_id AND readings.component = replaced.component
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
FROM weighed
ORDER BY closed_on, job_id, seq, row_id, item_no;
