-- Whether a technician worked on a job: made one of its visits, or has it counted as his.
-- grain: one row; none for a job of others and for one that the records do not hold.
SELECT job_id FROM core.visits WHERE job_id = $job_id::VARCHAR AND technician = $technician::VARCHAR
UNION
SELECT job_id FROM core.job_facts WHERE job_id = $job_id::VARCHAR AND technician = $technician::VARCHAR
ORDER BY job_id;
