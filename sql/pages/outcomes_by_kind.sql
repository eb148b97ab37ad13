-- How jobs ended, by appliance: repaired and beyond repair, which any source can say.
-- grain: one row per appliance with closed jobs, most jobs first.
-- unit: jobs; share, low, high, beyond_share are fractions (Wilson 95 %).
-- counts: jobs that were attended and closed; open and canceled ones are left out.
WITH counts AS (
    SELECT
        appliance_kind,
        count(*) AS closed,
        count(*) FILTER (WHERE disposition = 'repaired') AS repaired,
        count(*) FILTER (WHERE disposition = 'beyond_repair') AS beyond_repair,
    FROM core.job_facts
    WHERE disposition NOT IN ('open', 'cancelled')
    GROUP BY appliance_kind
)

SELECT
    appliance_kind,
    closed,
    repaired,
    repaired / nullif(closed, 0) AS share,
    core.wilson_low(repaired, closed) AS low,
    core.wilson_high(repaired, closed) AS high,
    beyond_repair,
    beyond_repair / nullif(closed, 0) AS beyond_share,
FROM counts
ORDER BY closed DESC, appliance_kind;
