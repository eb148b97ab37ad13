-- The causes of each diagnostic chain, with the register's weight and the shop's own jobs.
-- grain: one row per appliance kind, complaint and cause.
-- unit: weights sum to 1 per chain; jobs.
-- counts: own jobs = repaired, by final cause. Causes that no job and no weight names are left out;
--         so are causes that are no finding (not established, no fault found).
WITH own AS (
    SELECT appliance_kind, symptom, final_cause AS cause, count(*) AS jobs,
    FROM core.jobs_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, NULL
    )
    WHERE is_repaired AND coalesce(final_cause_class, 'none_found') <> 'none_found'
    GROUP BY appliance_kind, symptom, final_cause
),

chains AS (
    SELECT DISTINCT kind AS appliance_kind, symptom,
    FROM lookups.chains
),

named AS (
    SELECT kind AS appliance_kind, symptom, cause,
    FROM lookups.chain_priors
    UNION
    SELECT own.appliance_kind, own.symptom, own.cause,
    FROM own
    INNER JOIN chains
        ON own.appliance_kind = chains.appliance_kind AND own.symptom = chains.symptom
)

SELECT
    named.appliance_kind,
    named.symptom,
    named.cause,
    causes.component,
    coalesce(priors.weight::DOUBLE, 0) AS weight,
    coalesce(own.jobs, 0) AS jobs,
    priors.cause IS NOT NULL AS is_in_chain,
FROM named
INNER JOIN lookups.causes AS causes
    ON named.appliance_kind = causes.kind AND named.cause = causes.cause
LEFT JOIN lookups.chain_priors AS priors
    ON named.appliance_kind = priors.kind
    AND named.symptom = priors.symptom
    AND named.cause = priors.cause
LEFT JOIN own
    ON named.appliance_kind = own.appliance_kind
    AND named.symptom = own.symptom
    AND named.cause = own.cause
WHERE causes.cause_class <> 'none_found'
ORDER BY named.appliance_kind, named.symptom, weight DESC, named.cause;
