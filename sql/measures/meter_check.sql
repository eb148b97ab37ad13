-- Readings of good parts by technician: what worn leads or a meter out of calibration would shift.
-- grain: one row per test point, technician and value read; the measure
--        (dashboard/readings/compute.py) gives one row per technician and test point.
-- unit: the test point's unit; shift, meter_accuracy are fractions. meter_error = half-width of the
--       meter's error at this value.
-- counts: parts neither replaced nor the final cause; numbers above zero only, no "more than" or
--         "less than", none judged outside, no volts of a dead wire. A technician is compared from 8
--         readings on, with at least two others who have 8. shift = median / others' median - 1;
--         others' median = median of the other technicians' medians. flagged: q_value at most 5 %
--         and the shift exceeds meter_accuracy, the median of the meter's error over his readings.
--         The technician with the clearest evidence is set aside and the others are tested again
--         without him at half the level, until none is flagged.
-- source: Mann and Whitney (1947) against all readings of the others; false-discovery rate by
--         Benjamini and Hochberg (1995) over all pairs tested; interval of the shift by bootstrap.
SELECT
    test_point,
    any_value(unit) AS unit,
    technician,
    value,
    count(*) AS readings,
    avg(meter_u) * sqrt(3) AS meter_error,
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
