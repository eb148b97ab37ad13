-- What was behind one complaint in the whole shop, and in one brand or model of it.
-- grain: one row per cause that a repaired job or the register's weights name.
-- unit: jobs; weights sum to 1 where the register has any.
-- counts: repaired jobs by final cause, as pages/chain_causes; near_jobs are those of $brand and
--         $model (NULL = any). No technician: these counts name no one.
WITH own AS (
    SELECT
        final_cause AS cause,
        count(*) AS jobs,
        count(*) FILTER (
            WHERE core.is_this(brand, $brand::VARCHAR) AND core.is_this(model, $model::VARCHAR)
        ) AS near_jobs,
    FROM core.jobs_in($from_date, $to_date, $branch, NULL, NULL, NULL, NULL)
    WHERE appliance_kind = $kind::VARCHAR
        AND symptom = $complaint::VARCHAR
        AND is_repaired
        AND coalesce(final_cause_class, 'none_found') <> 'none_found'
    GROUP BY final_cause
),

priors AS (
    SELECT cause, weight::DOUBLE AS weight,
    FROM lookups.chain_priors
    WHERE kind = $kind::VARCHAR AND symptom = $complaint::VARCHAR
)

SELECT
    causes.cause,
    causes.component,
    coalesce(priors.weight, 0) AS weight,
    coalesce(own.jobs, 0) AS jobs,
    coalesce(own.near_jobs, 0) AS near_jobs,
FROM lookups.causes AS causes
LEFT JOIN own ON causes.cause = own.cause
LEFT JOIN priors ON causes.cause = priors.cause
WHERE causes.kind = $kind::VARCHAR
    AND causes.cause_class <> 'none_found'
    AND (own.cause IS NOT NULL OR priors.cause IS NOT NULL)
ORDER BY coalesce(own.jobs, 0) DESC, coalesce(priors.weight, 0) DESC, causes.cause;
