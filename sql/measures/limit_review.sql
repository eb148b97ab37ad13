-- Readings of failed parts and of good ones: what a better limit is drawn from.
-- grain: one row per test point and value read, with how many parts of each kind read so; the measure
--        (dashboard/readings/compute.py) gives one row per test point.
-- unit: the test point's unit; value NULL = open.
-- counts: as core.settled_readings_in: settled jobs only. condemned = the final cause names this
--         component, good = it names another. A limit is suggested only with 30 of each, an area whose
--         interval lies above 0.7 and no_limit_because NULL: not for a contact, which is either closed
--         or open, not where the limits are a ratio or a sum (nameplate), and not for a test that the
--         register calls blind to every failure of its component (p < 0.05), nor where fewer than 30
--         of the condemned have a number (open). Readings decided what was condemned, so the curve
--         flatters the limit in use.
-- source: ROC area by Mann-Whitney, interval by Hanley and McNeil (1982); best limit by Youden
--         (1950); its interval by bootstrap percentiles.
WITH asked AS (
    SELECT
        any_value(test_point) AS test_point,
        any_value(quantity) AS quantity,
        any_value(unit) AS unit,
        any_value(limits_id) AS limits_id,
        any_value(value) AS value,
        count(*) FILTER (WHERE is_bad) AS condemned,
        count(*) FILTER (WHERE is_good) AS good,
    FROM core.settled_readings_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, $window_days
    )
    GROUP BY verdict_key
),

values_read AS (
    SELECT
        test_point,
        any_value(quantity) AS quantity,
        any_value(unit) AS unit,
        any_value(limits_id) AS limits_id,
        value,
        sum(condemned)::BIGINT AS condemned,
        sum(good)::BIGINT AS good,
    FROM asked
    GROUP BY test_point, value
),

blind AS (
    SELECT matrix.test_point,
    FROM lookups.cause_test_matrix AS matrix
    INNER JOIN lookups.causes AS causes
        ON matrix.kind = causes.kind AND matrix.cause = causes.cause
    INNER JOIN lookups.test_points AS points
        ON matrix.test_point = points.test_point AND causes.component = points.component
    GROUP BY matrix.test_point
    HAVING max(matrix.p_out_of_limits) < 0.05
)

SELECT
    values_read.test_point,
    values_read.unit,
    values_read.value,
    values_read.condemned,
    values_read.good,
    CASE
        WHEN values_read.quantity = 'continuity' THEN 'contact'
        WHEN limits.limit_basis <> 'absolute' THEN 'nameplate'
        WHEN blind.test_point IS NOT NULL THEN 'blind'
    END AS no_limit_because,
    CASE WHEN limits.limit_basis = 'absolute' THEN limits.low END AS register_low,
    CASE WHEN limits.limit_basis = 'absolute' THEN limits.high END AS register_high,
    CASE WHEN limits.limit_basis = 'absolute' THEN limits.fail_below END AS register_fail_below,
    CASE WHEN limits.limit_basis = 'absolute' THEN limits.fail_above END AS register_fail_above,
FROM values_read
LEFT JOIN core.limits AS limits ON values_read.limits_id = limits.limits_id
LEFT JOIN blind ON values_read.test_point = blind.test_point
ORDER BY values_read.test_point, values_read.value;
