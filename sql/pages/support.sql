-- Which questions these records can answer, and what is missing for the others.
-- grain: one row per question.
-- counts: closed jobs (repaired complaints for the fix rates).
WITH jobs AS (
    SELECT
        count(*) AS closed,
        count(*) FILTER (WHERE is_repaired AND is_complaint) AS repaired,
        count(*) FILTER (WHERE is_counted) AS linked,
        count(*) FILTER (WHERE is_counted AND attended_visits IS NOT NULL) AS with_visits,
        count(*) FILTER (WHERE final_cause IS NOT NULL) AS with_cause,
        count(*) FILTER (WHERE readings > 0) AS with_readings,
        count(*) FILTER (WHERE is_repaired AND part_lines > 0 AND readings > 0) AS with_evidence,
        count(*) FILTER (WHERE labour_min IS NOT NULL AND charged IS NOT NULL) AS with_price,
    FROM core.job_facts
    WHERE closed_on IS NOT NULL
),

questions AS (
    SELECT 1 AS place, 'First-time fix' AS question, 'known appliance, recorded visits' AS needs,
        with_visits AS jobs_with, repaired AS jobs FROM jobs
    UNION ALL
    SELECT 2, 'Callbacks', 'customer or serial number', linked, repaired FROM jobs
    UNION ALL
    SELECT 3, 'Root causes', 'recorded cause', with_cause, closed FROM jobs
    UNION ALL
    SELECT 4, 'Readings', 'meter readings', with_readings, closed FROM jobs
    UNION ALL
    SELECT 5, 'Misdiagnosis', 'readings and parts of a repair', with_evidence, repaired FROM jobs
    UNION ALL
    SELECT 6, 'Flat rates', 'minutes and charges', with_price, closed FROM jobs
)

SELECT
    question,
    needs,
    jobs_with,
    jobs,
    CASE
        WHEN jobs_with = 0 THEN 'cannot be said from these records'
        WHEN jobs_with < 0.5 * jobs THEN 'only part of the jobs'
        ELSE 'can be answered'
    END AS verdict,
FROM questions
ORDER BY place;
