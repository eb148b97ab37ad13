-- What each month held: jobs, minutes, revenue and what was earned on parts.
-- grain: one row per month of closing.
-- unit: jobs; minutes; money in the shop's currency; parts_margin is a fraction of the parts price.
-- counts: closed jobs of the filter. Minutes over jobs whose visits are known; revenue over jobs with
--         a charge; the parts margin over jobs that have both what the parts cost and what was asked
--         for them. Margin = (price - cost) / price, as a ratio of sums.
WITH months AS (
    SELECT
        closed_month AS month,
        count(*) AS closed,
        count(*) FILTER (WHERE is_repaired) AS repaired,
        count(*) FILTER (WHERE disposition = 'declined') AS declined,
        count(*) FILTER (WHERE disposition = 'no_fault_found') AS no_fault_found,
        count(labour_min) AS timed,
        quantile_cont(labour_min::DOUBLE, 0.5) AS median_minutes,
        sum(labour_min) AS labour_min,
        count(charged) AS charged_jobs,
        sum(charged::DOUBLE) AS revenue,
        count(*) FILTER (WHERE parts_cost IS NOT NULL AND parts_charged > 0) AS parts_jobs,
        sum(parts_charged) FILTER (WHERE parts_cost IS NOT NULL AND parts_charged > 0)
            AS parts_charged,
        sum(parts_cost) FILTER (WHERE parts_cost IS NOT NULL AND parts_charged > 0) AS parts_cost,
    FROM core.jobs_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, NULL
    )
    GROUP BY closed_month
)

SELECT
    month,
    closed,
    repaired,
    declined,
    no_fault_found,
    timed,
    median_minutes,
    labour_min,
    charged_jobs,
    revenue,
    revenue / nullif(charged_jobs, 0) AS revenue_per_job,
    parts_jobs,
    parts_charged,
    parts_cost,
    (parts_charged - parts_cost) / nullif(parts_charged, 0) AS parts_margin,
FROM months
ORDER BY month;
