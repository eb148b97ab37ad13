-- What was measured on the jobs on which no fault was found?
-- grain: one row per appliance kind and test point, most jobs first.
-- unit: jobs; a job counts once for each test point, by its worst reading there.
-- counts: complaints of the filter closed as no fault found; kind_jobs = all of them of that kind.
WITH chosen AS (
    SELECT job_id, appliance_kind,
    FROM core.jobs_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, NULL
    )
    WHERE is_complaint AND disposition = 'no_fault_found'
),

kinds AS (
    SELECT appliance_kind, count(*) AS kind_jobs FROM chosen GROUP BY appliance_kind
),

by_job AS (
    SELECT
        chosen.appliance_kind,
        readings.test_point,
        chosen.job_id,
        max(CASE WHEN readings.decision = 'outside' THEN 1 ELSE 0 END) AS is_outside,
        max(CASE WHEN readings.decision = 'inside' THEN 1 ELSE 0 END) AS is_inside,
    FROM chosen
    INNER JOIN core.reading_facts AS readings ON chosen.job_id = readings.job_id
    WHERE readings.test_point IS NOT NULL
    GROUP BY chosen.appliance_kind, readings.test_point, chosen.job_id
)

SELECT
    by_job.appliance_kind,
    by_job.test_point,
    kinds.kind_jobs,
    count(*) AS jobs,
    sum(by_job.is_outside) AS outside,
    sum(CASE WHEN by_job.is_outside = 0 THEN by_job.is_inside ELSE 0 END) AS inside,
FROM by_job
INNER JOIN kinds ON by_job.appliance_kind = kinds.appliance_kind
GROUP BY by_job.appliance_kind, by_job.test_point, kinds.kind_jobs
ORDER BY jobs DESC, by_job.appliance_kind, by_job.test_point;
