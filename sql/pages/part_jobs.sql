-- The jobs of one part number: those in which it was fitted, or those that asked for it.
-- grain: one row per job, newest first.
-- unit: minutes; money in the shop's currency; whole days.
-- counts: $which = 'fitted': counted repairs with a line of $part_no (of $kind and $component where
--         given), as early_parts, or 'came_back': those of them back within the horizon; 'needed': jobs
--         whose first trip asked for $part_no, as van_stock.
WITH chosen AS (
    SELECT part_lines.job_id,
    FROM core.part_lines AS part_lines
    INNER JOIN core.job_facts AS jobs ON part_lines.job_id = jobs.job_id
    WHERE $which <> 'needed'
        AND jobs.is_counted
        AND part_lines.part_no = $part_no
        AND ($component::VARCHAR IS NULL
            OR coalesce(part_lines.component, 'not recorded') = $component::VARCHAR)
        AND ($kind::VARCHAR IS NULL OR jobs.appliance_kind = $kind::VARCHAR)
        AND ($which = 'fitted' OR jobs.callback_days <= core.callback_horizon_days())
    UNION
    SELECT job_id,
    FROM core.needs_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom
    )
    WHERE $which = 'needed' AND part_no = $part_no
)

SELECT
    jobs.job_id,
    jobs.closed_on,
    jobs.technician,
    jobs.appliance_kind,
    jobs.symptom,
    jobs.final_cause AS cause,
    jobs.attended_visits,
    jobs.labour_min,
    jobs.charged,
    jobs.callback_days,
FROM core.jobs_in($from_date, $to_date, $branch, NULL, $appliance_kind, $symptom, NULL) AS jobs
INNER JOIN chosen ON jobs.job_id = chosen.job_id
WHERE $which = 'needed' OR core.is_chosen($technician, jobs.technician)
ORDER BY jobs.closed_on DESC, jobs.job_id;
