-- The parts that repairs of one complaint took.
-- grain: one row per component.
-- unit: jobs.
-- counts: repaired jobs of the complaint with at least one such part; of_jobs = repaired jobs of the
--         group. near as pages/sheet_jobs. numbers = the part numbers, most used first. No technician:
--         these counts name no one.
WITH jobs AS (
    SELECT
        job_id,
        core.is_this(brand, $brand::VARCHAR) AND core.is_this(model, $model::VARCHAR) AS is_near,
    FROM core.jobs_in($from_date, $to_date, $branch, NULL, NULL, NULL, NULL)
    WHERE appliance_kind = $kind::VARCHAR AND symptom = $complaint::VARCHAR AND is_repaired
),

lines AS (
    SELECT DISTINCT part_lines.job_id, part_lines.component, part_lines.part_no, jobs.is_near,
    FROM core.part_lines AS part_lines
    INNER JOIN jobs ON part_lines.job_id = jobs.job_id
    WHERE part_lines.component IS NOT NULL
),

numbers AS (
    SELECT
        component,
        part_no,
        count(*) AS jobs,
        count(*) FILTER (WHERE is_near) AS near_jobs,
    FROM lines
    WHERE part_no IS NOT NULL
    GROUP BY component, part_no
),

numbered AS (
    SELECT
        component,
        list(part_no ORDER BY jobs DESC, part_no) AS numbers,
        list(part_no ORDER BY near_jobs DESC, part_no) FILTER (WHERE near_jobs > 0) AS near_numbers,
    FROM numbers
    GROUP BY component
)

SELECT
    lines.component,
    count(DISTINCT lines.job_id) AS jobs,
    count(DISTINCT lines.job_id) FILTER (WHERE lines.is_near) AS near_jobs,
    (SELECT count(*) FROM jobs) AS of_jobs,
    (SELECT count(*) FROM jobs WHERE is_near) AS of_near_jobs,
    any_value(numbered.numbers) AS numbers,
    any_value(numbered.near_numbers) AS near_numbers,
FROM lines
LEFT JOIN numbered ON lines.component = numbered.component
GROUP BY lines.component
ORDER BY jobs DESC, lines.component;
