-- How the readings of one test point lie month by month, parts that stayed apart from all.
-- grain: one row per month of closing.
-- unit: quartiles in the test point's unit, of parts that stayed; shares are fractions.
-- counts: judged and outside over every reading with a verdict there, weak limits left out.
SELECT
    closed_month AS month,
    count(*) FILTER (WHERE has_number AND NOT is_condemned) AS n,
    quantile_cont(value::DOUBLE, 0.25) FILTER (WHERE has_number AND NOT is_condemned) AS p25,
    quantile_cont(value::DOUBLE, 0.5) FILTER (WHERE has_number AND NOT is_condemned) AS p50,
    quantile_cont(value::DOUBLE, 0.75) FILTER (WHERE has_number AND NOT is_condemned) AS p75,
    count(*) FILTER (WHERE zone IS NOT NULL AND is_sharable) AS judged,
    count(*) FILTER (WHERE zone = 'outside' AND is_sharable) AS outside,
FROM core.readings_in($from_date, $to_date, $branch, $technician, $appliance_kind, $symptom)
WHERE test_point = $test_point
GROUP BY closed_month
ORDER BY month;
