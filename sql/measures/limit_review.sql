-- Readings of parts finally condemned and of parts that stayed: what a better limit is drawn from.
-- grain: one row per reading; the measure (dashboard/reading_review.py) gives one row per test point.
-- unit: the test point's unit.
-- counts: condemned = the part was replaced on this job and is the final cause's component; good =
--         neither replaced nor the final cause. Parts replaced for another cause, and readings of a
--         new part, are in neither. An open reading is above every number. "More than" and "less
--         than" are left out. A limit is suggested only with 30 of each. Readings decided what was
--         condemned, so that the curve flatters the limit in use.
-- source: ROC area by Mann-Whitney, interval by Hanley and McNeil (1982); best limit by Youden
--         (1950); its interval by bootstrap percentiles.
WITH readings AS (
    SELECT
        *,
        is_condemned AND final_component IS NOT DISTINCT FROM component AS is_bad,
        NOT is_replaced AND final_component IS DISTINCT FROM component AS is_good,
    FROM core.readings_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom
    )
    WHERE quantity <> 'observation' AND (has_number OR is_open)
),

counted AS (
    SELECT test_point, limits_id, count(*) AS readings,
    FROM readings
    WHERE limits_id IS NOT NULL
    GROUP BY test_point, limits_id
),

used AS (
    SELECT test_point, limits_id,
    FROM counted
    QUALIFY row_number() OVER (PARTITION BY test_point ORDER BY readings DESC, limits_id) = 1
)

SELECT
    readings.test_point,
    readings.unit,
    CASE WHEN readings.is_open THEN NULL ELSE readings.value END AS value,
    readings.is_open,
    readings.is_bad AS is_condemned,
    CASE WHEN limits.limit_basis = 'absolute' THEN limits.low END AS register_low,
    CASE WHEN limits.limit_basis = 'absolute' THEN limits.high END AS register_high,
    CASE WHEN limits.limit_basis = 'absolute' THEN limits.fail_below END AS register_fail_below,
    CASE WHEN limits.limit_basis = 'absolute' THEN limits.fail_above END AS register_fail_above,
FROM readings
LEFT JOIN used ON readings.test_point = used.test_point
LEFT JOIN core.limits AS limits ON used.limits_id = limits.limits_id
WHERE (readings.is_bad OR readings.is_good)
    AND readings.quantity IS NOT NULL
ORDER BY readings.test_point, readings.row_id, readings.item_no;
