-- What was done about one complaint.
-- grain: one row per repair code.
-- unit: jobs; minutes.
-- counts: repaired jobs; near_jobs as pages/sheet_jobs. No technician: these counts name no one.
SELECT
    repair_code,
    count(*) AS jobs,
    count(*) FILTER (
        WHERE core.is_this(brand, $brand::VARCHAR) AND core.is_this(model, $model::VARCHAR)
    ) AS near_jobs,
    quantile_cont(labour_min::DOUBLE, 0.5) AS median_min,
FROM core.jobs_in($from_date, $to_date, $branch, NULL, NULL, NULL, NULL)
WHERE appliance_kind = $kind::VARCHAR
    AND symptom = $complaint::VARCHAR
    AND is_repaired
    AND repair_code IS NOT NULL
    AND repair_code <> 'no_repair_possible'
GROUP BY repair_code
ORDER BY jobs DESC, repair_code;
