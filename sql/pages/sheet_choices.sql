-- The complaints of which a sheet can be made, and the brands and models that had them.
-- grain: one row per appliance kind, complaint, brand and model; complaints without a job have one row.
-- unit: jobs.
-- counts: closed jobs; listed = the register has tests for the complaint. No technician: these
--         counts name no one.
WITH own AS (
    SELECT appliance_kind, symptom, brand, model, count(*) AS jobs,
    FROM core.jobs_in($from_date, $to_date, $branch, NULL, NULL, NULL, NULL)
    WHERE appliance_kind IS NOT NULL AND symptom IS NOT NULL AND is_complaint
    GROUP BY appliance_kind, symptom, brand, model
),

listed AS (
    SELECT DISTINCT kind AS appliance_kind, symptom,
    FROM lookups.chains
)

SELECT
    coalesce(own.appliance_kind, listed.appliance_kind) AS appliance_kind,
    coalesce(own.symptom, listed.symptom) AS symptom,
    own.brand,
    own.model,
    coalesce(own.jobs, 0) AS jobs,
    listed.symptom IS NOT NULL AS is_listed,
FROM own
FULL JOIN listed ON own.appliance_kind = listed.appliance_kind AND own.symptom = listed.symptom
ORDER BY ALL;
