-- What the parts of chosen repairs cost, day by day: have they become dearer since a price was set?
-- grain: one row per appliance kind, repair, part number and day of closing.
-- unit: pieces; money in the shop's currency.
-- counts: part lines with their cost on repaired complaints whose kind/repair is in $repairs.
SELECT
    jobs.appliance_kind,
    jobs.repair_code,
    lines.part_no,
    jobs.closed_on,
    sum(lines.quantity) AS pieces,
    sum(core.line_money(lines.quantity, lines.unit_cost))::DOUBLE AS cost,
FROM core.jobs_in(
    $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, NULL
) AS jobs
INNER JOIN core.part_lines AS lines ON jobs.job_id = lines.job_id
WHERE jobs.is_repaired
    AND jobs.is_complaint
    AND lines.unit_cost IS NOT NULL
    AND lines.quantity > 0
    AND list_contains($repairs::VARCHAR[], jobs.appliance_kind || '/' || jobs.repair_code)
GROUP BY jobs.appliance_kind, jobs.repair_code, lines.part_no, jobs.closed_on
ORDER BY jobs.appliance_kind, jobs.repair_code, lines.part_no, jobs.closed_on;
