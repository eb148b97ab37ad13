-- The causes that each replaced part is weighed against: its own, and the others of the complaint.
-- grain: one row per appliance kind, complaint, replaced component and cause.
-- unit: weight in jobs: the shop's repaired jobs by final cause, and the register's weights as 20 jobs
--       (the same blend as "What to test next": stats/sequencing/cause_prior.py).
-- counts: is_own = the cause is one of the replaced component. A component that nothing weighs for
--         this complaint has its causes of this appliance kind in equal parts, else one cause without a name;
--         so has the other side where no other cause is known.
CREATE TABLE core.suspects AS
WITH complaints AS (
    SELECT DISTINCT appliance_kind, symptom, component,
    FROM core.fitted_parts
),

priors AS (
    SELECT
        kind AS appliance_kind,
        symptom,
        cause,
        20 * weight::DOUBLE
            / nullif(sum(weight::DOUBLE) OVER (PARTITION BY kind, symptom), 0) AS weight,
    FROM lookups.chain_priors
    UNION ALL
    SELECT appliance_kind, symptom, final_cause, count(*)::DOUBLE,
    FROM core.job_facts
    WHERE is_repaired
        AND closed_on IS NOT NULL
        AND coalesce(final_cause_class, 'none_found') <> 'none_found'
    GROUP BY appliance_kind, symptom, final_cause
),

mix AS (
    SELECT
        priors.appliance_kind,
        priors.symptom,
        priors.cause,
        causes.component AS cause_component,
        core.rounded(sum(priors.weight), 1000000.0) AS weight,
    FROM priors
    INNER JOIN lookups.causes AS causes
        ON priors.appliance_kind = causes.kind AND priors.cause = causes.cause
    WHERE causes.cause_class <> 'none_found'
    GROUP BY priors.appliance_kind, priors.symptom, priors.cause, causes.component
    HAVING sum(priors.weight) > 0
),

weighed AS (
    SELECT
        complaints.*,
        mix.cause,
        mix.cause_component,
        mix.weight,
        mix.cause_component = complaints.component AS is_own,
    FROM complaints
    INNER JOIN mix
        ON complaints.appliance_kind = mix.appliance_kind AND complaints.symptom = mix.symptom
),

sides AS (
    SELECT
        complaints.appliance_kind,
        complaints.symptom,
        complaints.component,
        count(*) FILTER (WHERE weighed.is_own) AS own_causes,
        count(*) FILTER (WHERE NOT weighed.is_own) AS other_causes,
    FROM complaints
    LEFT JOIN weighed
        ON complaints.appliance_kind = weighed.appliance_kind
        AND complaints.symptom = weighed.symptom
        AND complaints.component = weighed.component
    GROUP BY complaints.appliance_kind, complaints.symptom, complaints.component
),

unweighed AS (
    SELECT
        sides.appliance_kind,
        sides.symptom,
        sides.component,
        coalesce(causes.cause, '') AS cause,
        sides.component AS cause_component,
        1.0 AS weight,
        TRUE AS is_own,
    FROM sides
    LEFT JOIN lookups.causes AS causes
        ON sides.appliance_kind = causes.kind
        AND sides.component = causes.component
        AND causes.cause_class <> 'none_found'
    WHERE sides.own_causes = 0
    UNION ALL
    SELECT appliance_kind, symptom, component, '', '', 1.0, FALSE,
    FROM sides
    WHERE other_causes = 0
)

SELECT * FROM weighed
UNION ALL
SELECT * FROM unweighed
ORDER BY appliance_kind, symptom, component, cause, is_own;
