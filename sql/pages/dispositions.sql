-- How jobs closed.
-- grain: one row per disposition, open jobs included.
SELECT disposition, count(*) AS jobs,
FROM core.job_facts
GROUP BY disposition
ORDER BY disposition;
