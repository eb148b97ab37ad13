-- The readings of one job in the order taken, as written and as parsed.
-- grain: one row per loaded reading.
SELECT
    visit_no,
    seq,
    origin,
    test_point,
    written_point,
    written_value,
    outcome,
    base_value,
    base_unit,
    is_open,
    is_closed,
    comparator,
    flags,
    ambient_cel,
    test_min,
FROM core.readings
WHERE job_id = $job_id
ORDER BY seq;
