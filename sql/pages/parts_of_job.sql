-- The parts fitted on one job.
-- grain: one row per part line.
SELECT visit_no, part_no, component, quantity, unit_cost, unit_charge, is_from_van,
FROM core.part_lines
WHERE job_id = $job_id
ORDER BY row_id, item_no;
