-- Every part replaced on a repaired job, with the readings taken before it went in.
-- grain: one row per repaired job and replaced component.
-- unit: money in the shop's currency; visit_no = the visit on which the part first went in.
-- counts: readings = the last decision at each test point, as "point+" (outside), "point-" (inside) or
--         "point~" (doubtful, or nothing that judges it), in alphabetical order, '' without any. A
--         number against weak limits is doubtful; an open reading has a verdict of its own. Readings
--         of later visits are left out. On the visit that fitted the part an outside reading counts: an inside
--         one after it is taken for the check of the repair. An unknown visit counts as that visit.
--         Part lines of no known component, and parts of which none stayed on the job, are left out.
CREATE TABLE core.fitted_parts AS
WITH fitted AS (
    SELECT
        part_lines.job_id,
        part_lines.component,
        jobs.appliance_kind,
        jobs.symptom,
        min(part_lines.visit_no) AS visit_no,
        sum(part_lines.quantity) AS pieces,
        sum(core.line_money(part_lines.quantity, part_lines.unit_cost))::DOUBLE AS parts_cost,
    FROM core.part_lines AS part_lines
    INNER JOIN core.jobs AS jobs ON part_lines.job_id = jobs.job_id
    WHERE jobs.disposition = 'repaired'
        AND part_lines.component IS NOT NULL
        AND part_lines.quantity <> 0
    GROUP BY part_lines.job_id, part_lines.component, jobs.appliance_kind, jobs.symptom
    HAVING sum(part_lines.quantity) > 0
),

taken AS (
    SELECT
        fitted.job_id,
        fitted.component,
        readings.test_point,
        arg_max(
            CASE WHEN readings.is_weak AND readings.quantity <> 'observation' AND NOT readings.is_open
                THEN 'doubtful'
                ELSE readings.decision
            END,
            readings.seq
        ) FILTER (WHERE readings.decision IS NOT NULL) AS last_decision,
        count(*) FILTER (
            WHERE readings.decision = 'outside'
                AND (NOT readings.is_weak OR readings.quantity = 'observation' OR readings.is_open)
                AND coalesce(readings.visit_no = fitted.visit_no, TRUE)
        ) AS outside_then,
    FROM fitted
    INNER JOIN core.reading_facts AS readings
        ON fitted.job_id = readings.job_id
        AND coalesce(readings.visit_no <= fitted.visit_no, TRUE)
    GROUP BY fitted.job_id, fitted.component, readings.test_point
),

written AS (
    SELECT
        job_id,
        component,
        string_agg(
            test_point
            || CASE
                WHEN outside_then > 0 OR last_decision = 'outside' THEN '+'
                WHEN last_decision = 'inside' THEN '-'
                ELSE '~'
            END,
            ' ' ORDER BY test_point
        ) AS readings,
    FROM taken
    GROUP BY job_id, component
)

SELECT fitted.*, coalesce(written.readings, '') AS readings,
FROM fitted
LEFT JOIN written
    ON fitted.job_id = written.job_id AND fitted.component = written.component
ORDER BY fitted.job_id, fitted.component;
