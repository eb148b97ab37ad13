-- The three windings of a compressor, read on one visit: what the sum rule needs.
-- grain: one row per job, visit and compressor.
-- unit: ohm.
-- counts: numbers only. Both legs to common open while run to start is not: the overload is open.
CREATE TABLE staged.windings AS
SELECT
    job_id,
    coalesce(visit_no, 1) AS visit_no,
    regexp_replace(test_point, '_(c_r|c_s|r_s)_ohm$', '', 'g') AS compressor,
    max(base_value) FILTER (WHERE ends_with(test_point, 'c_r_ohm')) AS run_ohm,
    max(base_value) FILTER (WHERE ends_with(test_point, 'c_s_ohm')) AS start_ohm,
    count(DISTINCT test_point) FILTER (
        WHERE is_open AND NOT ends_with(test_point, 'r_s_ohm')
    ) = 2
        AND count(base_value) FILTER (WHERE ends_with(test_point, 'r_s_ohm')) > 0
        AS is_overload_open,
FROM core.readings
WHERE regexp_matches(test_point, '_(c_r|c_s|r_s)_ohm$')
    AND comparator = ''
    AND coalesce(base_unit, 'Ohm') = 'Ohm'
GROUP BY ALL;
