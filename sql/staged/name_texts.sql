-- The distinct texts that name a kind, a disposition or an outcome (understood in etl/words).
-- grain: one row per field and text; kind is ''.
CREATE TABLE staged.name_texts AS
SELECT 'appliance_kind' AS field, '' AS kind, appliance_kind AS text
FROM raw.jobs
WHERE appliance_kind IS NOT NULL
UNION
SELECT 'disposition', '', disposition FROM raw.jobs WHERE disposition IS NOT NULL
UNION
SELECT 'outcome', '', outcome FROM raw.visits WHERE outcome IS NOT NULL;
