-- The parts replaced on one job, with what the readings say of each.
-- grain: one row per component; parts of no known component one row each.
-- unit: money in the shop's currency; visit on which the part first went in.
-- counts: evidence NULL = not a repaired job, no known component, or a source without readings.
SELECT
    min(part_lines.visit_no) AS visit_no,
    part_lines.component,
    string_agg(DISTINCT part_lines.part_no, ', ' ORDER BY part_lines.part_no) AS part_numbers,
    sum(part_lines.quantity) AS pieces,
    sum(core.line_money(part_lines.quantity, part_lines.unit_cost))::DOUBLE AS cost,
    any_value(evidence.evidence) AS evidence,
    any_value(evidence.log_ratio) AS log_ratio,
    any_value(evidence.log_odds) AS log_odds,
    any_value(evidence.is_second) AS is_second,
FROM core.part_lines AS part_lines
LEFT JOIN core.part_evidence AS evidence
    ON part_lines.job_id = evidence.job_id AND part_lines.component = evidence.component
WHERE part_lines.job_id = $job_id::VARCHAR
GROUP BY part_lines.component, CASE WHEN part_lines.component IS NULL THEN part_lines.part_no END
ORDER BY visit_no, part_lines.component, part_numbers;
