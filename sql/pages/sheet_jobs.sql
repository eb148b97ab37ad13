-- The jobs of one complaint in figures: how many, how many came back, per group of jobs.
-- grain: one row per group: near = of $brand and $model (NULL = any), other = the rest.
-- unit: jobs.
-- counts: closed jobs; repaired, mature and callbacks as measures/callbacks. No technician: these
--         counts name no one.
WITH jobs AS (
    SELECT
        *,
        core.is_this(brand, $brand::VARCHAR) AND core.is_this(model, $model::VARCHAR) AS is_near,
        is_counted AND days_since_closed >= $window_days AS is_mature,
    FROM core.jobs_in($from_date, $to_date, $branch, NULL, NULL, NULL, NULL)
    WHERE appliance_kind = $kind::VARCHAR AND symptom = $complaint::VARCHAR
)

SELECT
    is_near,
    count(*) AS jobs,
    count(*) FILTER (WHERE is_repaired) AS repaired,
    count(*) FILTER (WHERE is_mature) AS mature,
    count(*) FILTER (WHERE is_mature AND callback_days <= $window_days) AS callbacks,
FROM jobs
GROUP BY is_near
ORDER BY is_near DESC;
