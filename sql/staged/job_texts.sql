-- The distinct complaints and causes of each kind (understood in etl/words).
-- grain: one row per field, appliance kind and text.
CREATE TABLE staged.job_texts AS
SELECT 'symptom' AS field, appliance_kind AS kind, symptom AS text
FROM staged.jobs
WHERE appliance_kind IS NOT NULL AND symptom IS NOT NULL
UNION
SELECT 'root_cause', appliance_kind, root_cause
FROM staged.jobs
WHERE appliance_kind IS NOT NULL AND root_cause IS NOT NULL;
