-- One part not tested, by technician within each kind and complaint: whom a technician is compared with.
-- grain: one row per technician, appliance kind and complaint.
-- unit: parts replaced.
-- counts: as in pages/diagnosis_parts of $component, of all branches and technicians. Technicians that the
--         filter leaves out are named "other group 1" and so on.
WITH parts AS (
    SELECT
        coalesce(jobs.technician, 'not recorded') AS technician,
        jobs.appliance_kind,
        jobs.symptom,
        evidence.evidence,
    FROM core.patterns_in(
        $from_date, $to_date, NULL, NULL, $appliance_kind, $symptom, NULL, $window_days, NULL
    ) AS jobs
    INNER JOIN core.part_evidence AS evidence ON jobs.job_id = evidence.job_id
    WHERE evidence.evidence <> 'no test' AND evidence.component = $component::VARCHAR
),

shown AS (
    SELECT DISTINCT coalesce(technician, 'not recorded') AS technician,
    FROM core.patterns_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, NULL, $window_days,
        NULL
    )
),

named AS (
    SELECT
        parts.appliance_kind,
        parts.symptom,
        parts.evidence,
        CASE WHEN shown.technician IS NOT NULL
            THEN parts.technician
            ELSE 'other group ' || dense_rank() OVER (ORDER BY parts.technician)
        END AS group_name,
    FROM parts
    LEFT JOIN shown ON parts.technician = shown.technician
)

SELECT
    group_name AS "group",
    appliance_kind,
    symptom,
    count(*) AS replaced,
    count(*) FILTER (WHERE evidence = 'not tested') AS not_tested,
FROM named
GROUP BY group_name, appliance_kind, symptom
ORDER BY group_name, appliance_kind, symptom;
