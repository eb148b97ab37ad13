-- Readings of parts finally condemned and of parts that stayed: what a better limit is drawn from.
-- grain: one row per test point and value read, with how many parts of each kind read so; the measure
--        (dashboard/readings/compute.py) gives one row per test point.
-- unit: the test point's unit; value NULL = open.
-- counts: condemned = the part was replaced on this job and is the final cause's component; good =
--         neither replaced nor the final cause. Parts replaced for another cause, and readings of a
--         new part, are in neither. An open reading is above every number. "More than" and "less
--         than" are left out. A limit is suggested only with 30 of each. Readings decided what was
--         condemned, so that the curve flatters the limit in use.
-- source: ROC area by Mann-Whitney, interval by Hanley and McNeil (1982); best limit by Youden
--         (1950); its interval by bootstrap percentiles.
WITH readings AS (
    SELECT
        test_point,
        unit,
        limits_id,
        CASE WHEN NOT is_open THEN value END AS value,
        is_condemned AND final_component IS NOT DISTINCT FROM component AS is_bad,
        NOT is_replaced AND final_component IS DISTINCT FROM component AS is_good,
    FROM core.readings_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom
    )
    WHERE quantity <> 'observation' AND (has_number OR is_open)
),

counted AS (
    SELECT
        test_point,
        limits_id,
        value,
        is_bad,
        is_good,
        any_value(unit) AS unit,
        count(*) AS readings,
    FROM readings
    GROUP BY test_point, limits_id, value, is_bad, is_good
),

judged_by AS (
    SELECT test_point, limits_id, sum(readings) AS readings,
    FROM counted
    WHERE limits_id IS NOT NULL
    GROUP BY test_point, limits_id
),

used AS (
    SELECT test_point, limits_id,
    FROM judged_by
    QUALIFY row_number() OVER (PARTITION BY test_point ORDER BY readings DESC, limits_id) = 1
),

values_read AS (
    SELECT
        test_point,
        any_value(unit) AS unit,
        value,
        coalesce(sum(readings) FILTER (WHERE is_bad), 0)::BIGINT AS condemned,
        coalesce(sum(readings) FILTER (WHERE is_good), 0)::BIGINT AS good,
    FROM counted
    WHERE is_bad OR is_good
    GROUP BY test_point, value
)

SELECT
    values_read.*,
    CASE WHEN limits.limit_basis = 'absolute' THEN limits.low END AS register_low,
    CASE WHEN limits.limit_basis = 'absolute' THEN limits.high END AS register_high,
    CASE WHEN limits.limit_basis = 'absolute' THEN limits.fail_below END AS register_fail_below,
    CASE WHEN limits.limit_basis = 'absolute' THEN limits.fail_above END AS register_fail_above,
FROM values_read
LEFT JOIN used ON values_read.test_point = used.test_point
LEFT JOIN core.limits AS limits ON used.limits_id = limits.limits_id
ORDER BY values_read.test_point, values_read.value;
