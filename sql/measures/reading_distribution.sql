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
WITH asked AS (
    SELECT verdict_key, count(*) AS readings,
    FROM core.taken_in($from_date, $to_date, $branch, $technician, $appliance_kind, $symptom)
    WHERE $is_replaced::BOOLEAN IS NULL OR is_condemned = $is_replaced::BOOLEAN
    GROUP BY verdict_key
),

counted AS (
    SELECT
        verdicts.test_point,
        verdicts.limits_id,
        verdicts.zone,
        verdicts.decision,
        verdicts.is_sharable,
        verdicts.is_moved,
        verdicts.is_open,
        verdicts.comparator <> '' AS is_censored,
        verdicts.value IS NOT NULL AND verdicts.comparator = '' AS has_number,
        verdicts.value,
        verdicts.unit,
        asked.readings,
    FROM asked
    INNER JOIN core.reading_verdicts AS verdicts ON asked.verdict_key = verdicts.verdict_key
    WHERE verdicts.quantity <> 'observation'
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
    SELECT test_point, value, sum(readings) AS readings,
    FROM counted
    WHERE has_number
    GROUP BY test_point, value
),

ranked AS (
    SELECT
        test_point,
        value,
        sum(readings) OVER (PARTITION BY test_point ORDER BY value) AS up_to,
        sum(readings) OVER (PARTITION BY test_point) - 1 AS last_rank,
    FROM values_read
),

marks AS (
    SELECT 5 AS mark UNION ALL SELECT 25 UNION ALL SELECT 50 UNION ALL SELECT 75 UNION ALL SELECT 95
),

neighbours AS (
    SELECT
        ranked.test_point,
        marks.mark,
        min(value) FILTER (WHERE up_to > floor(mark * last_rank / 100)) AS low,
        min(value) FILTER (WHERE up_to > ceil(mark * last_rank / 100)) AS high,
        max(mark * last_rank / 100) - floor(max(mark * last_rank / 100)) AS part,
    FROM ranked
    CROSS JOIN marks
    GROUP BY ranked.test_point, marks.mark
),

percentiles AS (
    SELECT
        test_point,
        max(CASE WHEN mark = 5 THEN low + part * (high - low) END) AS p05,
        max(CASE WHEN mark = 25 THEN low + part * (high - low) END) AS p25,
        max(CASE WHEN mark = 50 THEN low + part * (high - low) END) AS p50,
        max(CASE WHEN mark = 75 THEN low + part * (high - low) END) AS p75,
        max(CASE WHEN mark = 95 THEN low + part * (high - low) END) AS p95,
    FROM neighbours
    GROUP BY test_point
),

points AS (
    SELECT
        test_point,
        any_value(unit) AS unit,
        coalesce(sum(readings) FILTER (WHERE has_number), 0)::BIGINT AS n,
        coalesce(sum(readings) FILTER (WHERE is_open), 0)::BIGINT AS over_limit,
        coalesce(sum(readings) FILTER (WHERE is_censored), 0)::BIGINT AS censored,
        coalesce(sum(readings) FILTER (WHERE zone = 'inside' AND is_sharable), 0)::BIGINT AS inside,
        coalesce(sum(readings) FILTER (WHERE zone = 'doubtful' AND is_sharable), 0)::BIGINT AS doubtful,
        coalesce(sum(readings) FILTER (WHERE zone = 'outside' AND is_sharable), 0)::BIGINT AS outside,
        coalesce(sum(readings) FILTER (WHERE decision = 'inside' AND is_sharable), 0)::BIGINT AS surely_inside,
        coalesce(sum(readings) FILTER (WHERE decision = 'outside' AND is_sharable), 0)::BIGINT AS surely_outside,
        coalesce(sum(readings) FILTER (WHERE zone IS NOT NULL AND is_sharable), 0)::BIGINT AS judged,
        coalesce(sum(readings) FILTER (WHERE is_moved), 0)::BIGINT AS moved,
        sum(readings)::BIGINT AS readings,
    FROM counted
    GROUP BY test_point
)

SELECT
    points.test_point,
    points.unit,
    points.n,
    points.over_limit,
    percentiles.p05,
    percentiles.p25,
    percentiles.p50,
    percentiles.p75,
    percentiles.p95,
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
LEFT JOIN percentiles ON points.test_point = percentiles.test_point
LEFT JOIN used ON points.test_point = used.test_point
LEFT JOIN core.limits AS limits
    ON limits.limits_id = used.limits_id
    OR (used.limits_id IS NULL AND limits.test_point = points.test_point AND limits.is_default
        AND NOT limits.is_own)
ORDER BY points.test_point;
