-- One part fitted on a job, or given back (negative quantity: it subtracts).
-- grain: one row per part line.
-- unit: money in the shop's currency, for one piece.
INSERT INTO core.part_lines BY NAME
SELECT
    part_lines.row_id,
    part_lines.item_no,
    part_lines.job_id,
    part_lines.visit_no,
    part_lines.part_no,
    part_lines.component,
    part_lines.supplier,
    part_lines.quantity,
    part_lines.unit_cost,
    part_lines.unit_charge,
    part_lines.is_from_van,
    part_lines.is_on_hand,
FROM staged.part_lines AS part_lines
LEFT JOIN staged.part_lines_left_out AS left_out
    ON part_lines.row_id = left_out.row_id AND part_lines.item_no = left_out.item_no
WHERE left_out.row_id IS NULL;
