-- Do repairs with one part number come back more often than those with its alternatives?
-- grain: one row per appliance kind, component and part number.
-- unit: jobs; rate, low, high are fractions (Wilson 95 %).
-- counts: repaired complaints whose unit is known, older than the window, in which the part was
--         fitted; a job with two part numbers counts under both. The yardstick is the other part
--         numbers of the same component and kind (reference = component), else, when they were fitted
--         in fewer than $min_jobs jobs (20), every other part of the shop (reference = shop).
--         p_value: as many callbacks or more by chance, if the part were like its yardstick (Fisher's
--         exact test, one side). q_value: over all parts asked; flagged: q_value at most 0.05.
--         Parts in fewer than 5 jobs are not asked: p_value and q_value are not known.
-- source: Fisher's exact test; Benjamini and Hochberg (1995), J R Stat Soc B 57:289.
WITH fitted AS (
    SELECT DISTINCT
        jobs.job_id,
        jobs.appliance_kind,
        coalesce(part_lines.component, 'not recorded') AS component,
        part_lines.part_no,
        coalesce(jobs.callback_days <= $window_days, FALSE) AS is_back,
    FROM core.jobs_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, NULL
    ) AS jobs
    INNER JOIN core.part_lines AS part_lines ON jobs.job_id = part_lines.job_id
    WHERE jobs.is_counted AND jobs.days_since_closed >= $window_days
),

parts AS (
    SELECT
        appliance_kind,
        component,
        part_no,
        count(*) AS jobs,
        count(*) FILTER (WHERE is_back) AS callbacks,
    FROM fitted
    GROUP BY appliance_kind, component, part_no
),

others AS (
    SELECT
        *,
        component <> 'not recorded'
            AND (sum(jobs) OVER same) - jobs >= coalesce($min_jobs, 20) AS has_alternatives,
        (sum(jobs) OVER same) - jobs AS component_jobs,
        (sum(callbacks) OVER same) - callbacks AS component_callbacks,
        sum(jobs) OVER () - jobs AS shop_jobs,
        sum(callbacks) OVER () - callbacks AS shop_callbacks,
    FROM parts
    WINDOW same AS (PARTITION BY appliance_kind, component)
),

compared AS (
    SELECT
        *,
        CASE WHEN has_alternatives THEN 'component' ELSE 'shop' END AS reference,
        CASE WHEN has_alternatives THEN component_jobs ELSE shop_jobs END AS other_jobs,
        CASE WHEN has_alternatives THEN component_callbacks ELSE shop_callbacks END
            AS other_callbacks,
    FROM others
)

SELECT
    appliance_kind,
    component,
    part_no,
    jobs,
    callbacks,
    callbacks / nullif(jobs, 0) AS rate,
    core.wilson_low(callbacks, jobs) AS low,
    core.wilson_high(callbacks, jobs) AS high,
    reference,
    other_jobs::BIGINT AS other_jobs,
    other_callbacks::BIGINT AS other_callbacks,
    jobs * other_callbacks / nullif(other_jobs, 0) AS expected,
FROM compared
ORDER BY appliance_kind, component, part_no;
