-- The readings of one job in the order taken, with limits and verdict.
-- grain: one row per reading, those at no known test point included.
-- unit: value and limits in `unit`.
-- counts: zone = the verdict with the meter's error; NULL = nothing judges the reading.
SELECT
    readings.seq,
    readings.visit_no,
    readings.test_point,
    readings.written_point,
    readings.written_value,
    facts.component,
    facts.value,
    facts.unit,
    readings.is_open,
    facts.low,
    facts.high,
    facts.fail_below,
    facts.fail_above,
    facts.decision AS zone,
    facts.to_note,
    test_points.hazards,
    coalesce(facts.is_weak, FALSE) AS is_weak,
    coalesce(facts.is_replaced, FALSE) AS is_replaced,
FROM core.readings AS readings
LEFT JOIN core.reading_facts AS facts
    ON readings.row_id = facts.row_id AND readings.item_no = facts.item_no
LEFT JOIN lookups.test_points AS test_points
    ON readings.test_point = test_points.test_point
WHERE readings.job_id = $job_id::VARCHAR
ORDER BY readings.seq;
