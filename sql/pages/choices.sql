-- What the common filters can choose from.
-- grain: one row per filter and value.
SELECT 'branch' AS filter, branch AS value, count(*) AS jobs
FROM core.job_facts
WHERE branch IS NOT NULL AND closed_on IS NOT NULL
GROUP BY branch
UNION ALL
SELECT 'technician', technician, count(*)
FROM core.job_facts
WHERE technician IS NOT NULL AND closed_on IS NOT NULL
GROUP BY technician
UNION ALL
SELECT 'appliance_kind', appliance_kind, count(*)
FROM core.job_facts
WHERE closed_on IS NOT NULL
GROUP BY appliance_kind
UNION ALL
SELECT 'symptom', symptom, count(*)
FROM core.job_facts
WHERE closed_on IS NOT NULL
GROUP BY symptom
ORDER BY 1, 2;
