-- What the readings said of the parts replaced: by part, or of one part by technician.
-- grain: one row per component, or per technician when $component is given.
-- unit: parts replaced (one per job and component); rate, low, high are fractions (Wilson 95 %).
-- counts: repaired complaints of sources that record readings; parts that no listed test can see fail
--         are left out. rate = not tested / replaced. expected = not tested at the rate of
--         the rest of the shop for the same component, kind and complaint (the group left out; NULL by
--         component). judged, held: parts of judged jobs, and those without a wrong diagnosis.
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

shop AS (
    SELECT
        evidence.component,
        evidence.appliance_kind,
        evidence.symptom,
        count(*) AS replaced,
        count(*) FILTER (WHERE evidence = 'not tested') AS not_tested,
    FROM core.jobs_in($from_date, $to_date, NULL, NULL, $appliance_kind, $symptom, NULL) AS jobs
    INNER JOIN core.part_evidence AS evidence ON jobs.job_id = evidence.job_id
    WHERE evidence.evidence <> 'no test' AND jobs.is_complaint
    GROUP BY evidence.component, evidence.appliance_kind, evidence.symptom
),

strata AS (
    SELECT
        group_name,
        component,
        appliance_kind,
        symptom,
        count(*) AS replaced,
        count(*) FILTER (WHERE evidence = 'not tested') AS not_tested,
    FROM parts
    GROUP BY group_name, component, appliance_kind, symptom
),

expected AS (
    SELECT
        strata.group_name,
        sum(
            strata.replaced * (shop.not_tested - strata.not_tested)
            / nullif(shop.replaced - strata.replaced, 0)
        ) AS expected,
        sum(CASE WHEN shop.replaced > strata.replaced THEN strata.replaced ELSE 0 END)
            AS compared,
    FROM strata
    INNER JOIN shop
        ON strata.component = shop.component
        AND strata.appliance_kind = shop.appliance_kind
        AND strata.symptom = shop.symptom
    GROUP BY strata.group_name
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
    CASE WHEN $component::VARCHAR IS NOT NULL
        THEN expected.expected * groups.replaced / nullif(expected.compared, 0)
    END AS expected,
    judged,
    held,
    cost,
FROM groups
LEFT JOIN expected ON groups.group_name = expected.group_name
ORDER BY replaced DESC, groups.group_name;
