-- The histogram of one test point, parts replaced and parts that stayed apart.
-- grain: one row per bin, is_replaced and is_open; an open reading is in no bin.
-- counts: readings known only as "more than" or "less than" have no place on the axis. A reading
--         of a new part, taken after it was fitted, is one of a part that stayed.
-- unit: the test point's unit; bins are equal in width, or in ratio when the values are positive and
--       span three decades (is_log).
-- source: bin width by Freedman and Diaconis (1981), 2 IQR / n^(1/3), between 5 and 200 bins.
WITH readings AS (
    SELECT
        is_condemned AS is_replaced,
        is_open,
        value,
    FROM core.readings_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom
    )
    WHERE test_point = $test_point AND (has_number OR is_open)
),

scale AS (
    SELECT
        coalesce(min(value) > 0 AND max(value) >= 1000 * min(value), FALSE) AS is_log,
    FROM readings
    WHERE NOT is_open
),

scaled AS (
    SELECT
        readings.is_replaced,
        readings.is_open,
        readings.value,
        scale.is_log,
        CASE WHEN scale.is_log THEN ln(readings.value) ELSE readings.value END AS position,
    FROM readings
    CROSS JOIN scale
),

spread AS (
    SELECT
        min(position) AS lowest,
        max(position) AS highest,
        count(position) AS n,
        quantile_cont(position::DOUBLE, 0.75) - quantile_cont(position::DOUBLE, 0.25) AS quartiles,
    FROM scaled
    WHERE NOT is_open
),

widths AS (
    SELECT
        lowest,
        greatest(
            least(
                coalesce(ceil(
                    (highest - lowest) / nullif(2 * quartiles / nullif(pow(n, 1 / 3), 0), 0)
                ), 10),
                200
            ),
            5
        ) AS bins,
        highest - lowest AS span,
    FROM spread
),

binned AS (
    SELECT
        scaled.is_replaced,
        scaled.is_open,
        scaled.is_log,
        scaled.value,
        CASE
            WHEN scaled.is_open THEN NULL
            WHEN widths.span = 0 THEN 0
            ELSE least(floor((scaled.position - widths.lowest) / widths.span * widths.bins), widths.bins - 1)
        END AS bin,
        widths.lowest,
        widths.span,
        widths.bins,
    FROM scaled
    CROSS JOIN widths
),

edges AS (
    SELECT
        is_replaced,
        is_open,
        is_log,
        value,
        bin,
        lowest + bin * span / bins AS start,
        lowest + (bin + 1) * span / bins AS stop,
    FROM binned
)

SELECT
    is_replaced,
    is_open,
    is_log,
    CASE WHEN is_log THEN exp(start) ELSE start END AS bin_low,
    CASE WHEN is_log THEN exp(stop) ELSE stop END AS bin_high,
    min(value) AS smallest,
    max(value) AS largest,
    count(*) AS readings,
FROM edges
GROUP BY is_replaced, is_open, is_log, bin, start, stop
ORDER BY is_replaced, is_open, bin_low;
