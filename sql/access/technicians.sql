-- Every technician of the records: people whose names some readers may not see.
-- grain: one row per name.
SELECT technician FROM core.visits
UNION
SELECT technician FROM core.job_facts WHERE technician IS NOT NULL
UNION
SELECT technician FROM core.reading_facts WHERE technician IS NOT NULL
ORDER BY technician;
