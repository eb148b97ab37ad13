-- What the meter said at each test point, against the limits.
-- grain: one row per test point.
-- unit: percentiles and limits in the test point's unit; shares are fractions (Wilson 95 %).
-- counts: readings with a number; open readings are counted apart (over_limit) and never averaged.
--         Shares are over readings with a verdict, open ones included; weak limits and what was
--         only seen or felt give no share.
--         $is_replaced picks readings of parts that were replaced (TRUE), that stayed (FALSE), all.
-- source: percentiles by linear interpolation, type 7 of Hyndman and Fan (1996).
WITH readings AS (
    SELECT *,
    FROM core.reading_facts
    WHERE ($from_date::DATE IS NULL OR closed_on >= $from_date::DATE)
        AND ($to_date::DATE IS NULL OR closed_on <= $to_date::DATE)
        AND (coalesce(len($branch::VARCHAR[]), 0) = 0 OR list_contains($branch::VARCHAR[], branch))
        AND (
            coalesce(len($technician::VARCHAR[]), 0) = 0
            OR list_contains($technician::VARCHAR[], technician)
        )
        AND (
            coalesce(len($appliance_kind::VARCHAR[]), 0) = 0
            OR list_contains($appliance_kind::VARCHAR[], appliance_kind)
        )
        AND (
            coalesce(len($symptom::VARCHAR[]), 0) = 0
            OR list_contains($symptom::VARCHAR[], symptom)
        )
        AND ($is_replaced::BOOLEAN IS NULL OR is_replaced = $is_replaced::BOOLEAN)
),

points AS (
    SELECT
        test_point,
        any_value(unit) AS unit,
        count(value) AS n,
        count(*) FILTER (WHERE is_open) AS over_limit,
        quantile_cont(value::DOUBLE, 0.05) AS p05,
        quantile_cont(value::DOUBLE, 0.25) AS p25,
        quantile_cont(value::DOUBLE, 0.5) AS p50,
        quantile_cont(value::DOUBLE, 0.75) AS p75,
        quantile_cont(value::DOUBLE, 0.95) AS p95,
        count(*) FILTER (WHERE zone = 'inside' AND is_sharable) AS inside,
        count(*) FILTER (WHERE zone = 'doubtful' AND is_sharable) AS doubtful,
        count(*) FILTER (WHERE zone = 'outside' AND is_sharable) AS outside,
        count(*) FILTER (WHERE zone IS NOT NULL AND is_sharable) AS judged,
        count(*) AS readings,
    FROM readings
    WHERE quantity <> 'observation'
    GROUP BY test_point
)

SELECT
    points.test_point,
    points.unit,
    points.n,
    points.over_limit,
    points.p05,
    points.p25,
    points.p50,
    points.p75,
    points.p95,
    limits.low AS tol_low,
    limits.high AS tol_high,
    points.inside / nullif(points.judged, 0) AS share_inside,
    points.doubtful / nullif(points.judged, 0) AS share_doubtful,
    points.outside / nullif(points.judged, 0) AS share_outside,
    core.wilson_low(points.outside, points.judged) AS outside_low,
    core.wilson_high(points.outside, points.judged) AS outside_high,
    points.judged,
    points.readings,
    limits.fail_below,
    limits.fail_above,
    limits.confidence,
    limits.source_class,
FROM points
LEFT JOIN core.limits AS limits
    ON points.test_point = limits.test_point AND limits.is_default
ORDER BY points.test_point;
