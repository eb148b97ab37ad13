-- The jobs that a written number means: as it is shown, as the shop wrote it, or with its numbering.
-- grain: one row per job; two where two numberings use the number.
-- counts: a technician finds only jobs of his own.
SELECT jobs.job_id
FROM core.jobs AS jobs
INNER JOIN core.job_facts AS facts ON jobs.job_id = facts.job_id
WHERE (
    jobs.job_id = $number::VARCHAR
    OR jobs.job_number = $number::VARCHAR
    OR jobs.numbering || ' ' || jobs.job_number = $number::VARCHAR
)
AND (
    $technician::VARCHAR IS NULL
    OR facts.technician = $technician::VARCHAR
    OR jobs.job_id IN (SELECT job_id FROM core.visits WHERE technician = $technician::VARCHAR)
)
ORDER BY jobs.job_id;
