-- What the readings said of the parts replaced: by part, or of one part by technician.
-- grain: one row per component, or per technician when $component is given.
-- unit: parts replaced (one per job and component); rate, low, high are fractions (Wilson 95 %).
-- counts: repaired complaints of sources that record readings; parts that no listed test can see fail
--         are left out. rate = not tested / replaced. judged, held: parts of judged jobs, and those
--         without a wrong diagnosis.
WITH parts AS (
    SELECT
        CASE WHEN $component::VARCHAR IS NULL
            THEN evidence.component
            ELSE coalesce(jobs.technician, 'not recorded')
        END AS group_name,
        evidence.*,
        jobs.is_wrong,
    FROM core.patterns_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, NULL, $window_days,
        NULL
    ) AS jobs
    INNER JOIN core.part_evidence AS evidence ON jobs.job_id = evidence.job_id
    WHERE evidence.evidence <> 'no test'
        AND ($component::VARCHAR IS NULL OR evidence.component = $component::VARCHAR)
),

groups AS (
    SELECT
        group_name,
        count(*) AS replaced,
        count(*) FILTER (WHERE evidence = 'supported') AS supported,
        count(*) FILTER (WHERE evidence = 'unclear') AS unclear,
        count(*) FILTER (WHERE evidence = 'against') AS against,
        count(*) FILTER (WHERE evidence = 'not tested') AS not_tested,
        count(is_wrong) AS judged,
        count(*) FILTER (WHERE is_wrong IS NOT NULL AND NOT (is_wrong AND is_other)) AS held,
        sum(parts_cost) FILTER (WHERE evidence = 'not tested') AS cost,
    FROM parts
    GROUP BY group_name
)

SELECT
    groups.group_name AS "group",
    replaced,
    supported,
    unclear,
    against,
    not_tested,
    not_tested / nullif(replaced, 0) AS rate,
    core.wilson_low(not_tested, replaced) AS low,
    core.wilson_high(not_tested, replaced) AS high,
    judged,
    held,
    cost,
FROM groups
ORDER BY replaced DESC, groups.group_name;
