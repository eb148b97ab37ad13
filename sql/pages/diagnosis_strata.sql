-- A pattern of each group within each kind and complaint: whom a group is compared with.
-- grain: one row per group, appliance kind and complaint.
-- unit: jobs.
-- counts: the jobs of measures/misdiagnosis under the same dates, kind and complaint, of all branches and
--         technicians. Groups that the filter leaves out are named "other group 1" and so on.
WITH shown AS (
    SELECT DISTINCT group_name,
    FROM core.patterns_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, $group_by,
        $window_days, $pattern
    )
),

jobs AS (
    SELECT group_name, appliance_kind, symptom, has_pattern,
    FROM core.patterns_in(
        $from_date, $to_date, NULL, NULL, $appliance_kind, $symptom, $group_by, $window_days,
        $pattern
    )
    WHERE has_pattern IS NOT NULL
),

named AS (
    SELECT
        jobs.appliance_kind,
        jobs.symptom,
        jobs.has_pattern,
        CASE WHEN shown.group_name IS NOT NULL
            THEN jobs.group_name
            ELSE 'other group ' || dense_rank() OVER (ORDER BY jobs.group_name)
        END AS group_name,
    FROM jobs
    LEFT JOIN shown ON jobs.group_name = shown.group_name
)

SELECT
    group_name AS "group",
    appliance_kind,
    symptom,
    count(*) AS asked,
    count(*) FILTER (WHERE has_pattern) AS with_pattern,
FROM named
GROUP BY group_name, appliance_kind, symptom
ORDER BY group_name, appliance_kind, symptom;
