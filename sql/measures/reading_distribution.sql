-- What the meter said at each test point, against the limits.
-- grain: one row per test point.
-- unit: percentiles and limits in the test point's unit; shares are fractions (Wilson 95 %).
-- counts: n are readings with a number; open ones (over_limit) and those known only as "more than"
--         or "less than" (censored) are counted apart and never averaged. Shares are over readings
--         with a verdict, open ones included; weak limits, ratios to a nameplate, the sum rule and
--         what was only seen or felt give no share. sure_inside and sure_outside allow for the
--         meter's error (probability 0.95); the other shares take the number as written. The limits
--         shown are those that most of the readings were judged by, at their own temperature.
--         $is_replaced picks readings of parts that were replaced (TRUE), that stayed (FALSE), all.
-- source: percentiles by linear interpolation, type 7 of Hyndman and Fan (1996); JCGM 106:2012.
WITH readings AS (
    SELECT *,
    FROM core.readings_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom
    )
    WHERE quantity <> 'observation'
        AND ($is_replaced::BOOLEAN IS NULL OR is_condemned = $is_replaced::BOOLEAN)
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
),

points AS (
    SELECT
        test_point,
        any_value(unit) AS unit,
        count(*) FILTER (WHERE has_number) AS n,
        count(*) FILTER (WHERE is_open) AS over_limit,
        count(*) FILTER (WHERE comparator <> '') AS censored,
        quantile_cont(value::DOUBLE, 0.05) FILTER (WHERE has_number) AS p05,
        quantile_cont(value::DOUBLE, 0.25) FILTER (WHERE has_number) AS p25,
        quantile_cont(value::DOUBLE, 0.5) FILTER (WHERE has_number) AS p50,
        quantile_cont(value::DOUBLE, 0.75) FILTER (WHERE has_number) AS p75,
        quantile_cont(value::DOUBLE, 0.95) FILTER (WHERE has_number) AS p95,
        count(*) FILTER (WHERE zone = 'inside' AND is_sharable) AS inside,
        count(*) FILTER (WHERE zone = 'doubtful' AND is_sharable) AS doubtful,
        count(*) FILTER (WHERE zone = 'outside' AND is_sharable) AS outside,
        count(*) FILTER (WHERE decision = 'inside' AND is_sharable) AS surely_inside,
        count(*) FILTER (WHERE decision = 'outside' AND is_sharable) AS surely_outside,
        count(*) FILTER (WHERE zone IS NOT NULL AND is_sharable) AS judged,
        count(*) FILTER (WHERE is_moved) AS moved,
        count(*) AS readings,
    FROM readings
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
    CASE WHEN limits.limit_basis = 'absolute' THEN limits.low END AS tol_low,
    CASE WHEN limits.limit_basis = 'absolute' THEN limits.high END AS tol_high,
    points.inside / nullif(points.judged, 0) AS share_inside,
    points.doubtful / nullif(points.judged, 0) AS share_doubtful,
    points.outside / nullif(points.judged, 0) AS share_outside,
    core.wilson_low(points.outside, points.judged) AS outside_low,
    core.wilson_high(points.outside, points.judged) AS outside_high,
    points.surely_inside / nullif(points.judged, 0) AS sure_inside,
    points.surely_outside / nullif(points.judged, 0) AS sure_outside,
    points.judged,
    points.readings,
    points.censored,
    points.moved,
    CASE WHEN limits.limit_basis = 'absolute' THEN limits.fail_below END AS fail_below,
    CASE WHEN limits.limit_basis = 'absolute' THEN limits.fail_above END AS fail_above,
    limits.confidence,
    limits.source_class,
    limits.limit_basis,
    used.limits_id,
    test_points.component,
FROM points
INNER JOIN lookups.test_points AS test_points ON points.test_point = test_points.test_point
LEFT JOIN used ON points.test_point = used.test_point
LEFT JOIN core.limits AS limits
    ON limits.limits_id = used.limits_id
    OR (used.limits_id IS NULL AND limits.test_point = points.test_point AND limits.is_default
        AND NOT limits.is_own)
ORDER BY points.test_point;
