-- What the readings say of the parts replaced: by part, or of one part by technician.
-- grain: one row per component, or per technician when $component is given.
-- unit: parts replaced (one per job and component); rate, low, high are fractions (Wilson 95 %).
-- counts: repaired complaints of sources that record readings; only parts that the register has a
--         test for. without = untested and contradicted: nothing measured speaks for the part.
--         expected = without if every part had the shop's rate of its component, kind and complaint.
WITH parts AS (
    SELECT
        evidence.*,
        jobs.technician,
    FROM core.jobs_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, NULL
    ) AS jobs
    INNER JOIN core.job_patterns AS patterns ON jobs.job_id = patterns.job_id
    INNER JOIN core.part_evidence AS evidence ON jobs.job_id = evidence.job_id
    WHERE patterns.is_measured AND evidence.has_test
        AND ($component::VARCHAR IS NULL OR evidence.component = $component::VARCHAR)
),

strata AS (
    SELECT
        evidence.component,
        evidence.appliance_kind,
        evidence.symptom,
        avg(CASE WHEN evidence IN ('untested', 'contradicted') THEN 1.0 ELSE 0.0 END) AS shop_rate,
    FROM core.jobs_in($from_date, $to_date, NULL, NULL, $appliance_kind, $symptom, NULL) AS jobs
    INNER JOIN core.job_patterns AS patterns ON jobs.job_id = patterns.job_id
    INNER JOIN core.part_evidence AS evidence ON jobs.job_id = evidence.job_id
    WHERE patterns.is_measured AND evidence.has_test
    GROUP BY evidence.component, evidence.appliance_kind, evidence.symptom
),

groups AS (
    SELECT
        CASE WHEN $component::VARCHAR IS NULL
            THEN parts.component
            ELSE coalesce(parts.technician, 'not recorded')
        END AS group_name,
        count(*) AS replaced,
        count(*) FILTER (WHERE evidence = 'supported') AS supported,
        count(*) FILTER (WHERE evidence = 'unclear') AS unclear,
        count(*) FILTER (WHERE evidence = 'contradicted') AS contradicted,
        count(*) FILTER (WHERE evidence = 'untested') AS untested,
        count(*) FILTER (WHERE evidence IN ('untested', 'contradicted')) AS without,
        sum(strata.shop_rate) AS expected,
        sum(parts.parts_cost) FILTER (WHERE evidence IN ('untested', 'contradicted')) AS cost,
    FROM parts
    INNER JOIN strata
        ON parts.component = strata.component
        AND parts.appliance_kind = strata.appliance_kind
        AND parts.symptom = strata.symptom
    GROUP BY group_name
)

SELECT
    group_name AS "group",
    replaced,
    supported,
    unclear,
    contradicted,
    untested,
    without,
    without / nullif(replaced, 0) AS rate,
    core.wilson_low(without, replaced) AS low,
    core.wilson_high(without, replaced) AS high,
    expected,
    cost,
FROM groups
ORDER BY replaced DESC, group_name;
