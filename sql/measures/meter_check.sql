-- Readings of sound parts by technician: what worn leads or a meter out of true would shift.
-- grain: one row per test point, technician and value read; the measure
--        (dashboard/readings/compute.py) gives one row per technician and test point.
-- unit: the test point's unit; the shift is told as a fraction of the others' median.
-- counts: parts neither replaced nor the final cause; numbers above nought only, no "more than" or
--         "less than", none judged outside, no volts of a dead wire. Pairs with
--         fewer than 8 readings on either side are not tested.
-- source: difference of medians with a bootstrap interval; false-discovery rate by Benjamini and
--         Hochberg (1995) over all pairs tested, at 5 %.
SELECT
    test_point,
    any_value(unit) AS unit,
    technician,
    value,
    count(*) AS readings,
FROM core.readings_in($from_date, $to_date, $branch, NULL, $appliance_kind, $symptom)
WHERE quantity NOT IN ('observation', 'temperature', 'temperature difference', 'ratio')
    AND has_number
    AND value > 0
    AND technician IS NOT NULL
    AND NOT is_replaced
    AND final_component IS DISTINCT FROM component
    AND coalesce(decision, 'inside') <> 'outside'
    AND (coalesce(decision, 'inside') = 'inside' OR p_in IS NOT NULL)
GROUP BY test_point, technician, value
ORDER BY test_point, technician, value;
