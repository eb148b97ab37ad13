-- Which new parts were faulty, so that their supplier owes a credit?
-- grain: one row per case: a visit that ended with a faulty new part, or a job that came back.
-- unit: money in the shop's currency; minutes that would not have been spent.
-- counts: evidence 'on site': an attended visit ended with "defective part". The part is the one
--         fitted on that visit, else the one fitted on the next attended visit in its place; lost_min
--         is the travel of that next visit. 'came back': a job whose recorded cause is "new part
--         faulty", with the parts of the job that it returns to; lost_min is the labor and travel of
--         the whole return. Of several part numbers the one counts whose component is the job's
--         recorded one (on site), or was fitted again (came back); else part_no is NULL: not known
--         which. 'fitted again' is a hint, no claim: the same part number was fitted again when the
--         appliance came back within $warranty_days, whatever cause was written. pieces = 1: how
--         many of a line were faulty is not recorded. supplier: NULL where the job's lines of that number
--         name none or several. fitted_jobs: jobs of the filter with that part number, from that
--         supplier where one is named. Filters are of the job in which it was fitted.
WITH chosen AS (
    SELECT job_id, appliance_kind, brand, model, closed_on, recorded_component, recorded_cause,
    FROM core.jobs_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, NULL
    )
),

with_faulty_part AS (
    SELECT DISTINCT chosen.job_id, chosen.recorded_component,
    FROM core.visits AS visits
    INNER JOIN chosen ON visits.job_id = chosen.job_id
    WHERE visits.is_attended AND visits.outcome = 'defective_part'
),

attended AS (
    SELECT
        jobs.job_id,
        jobs.recorded_component,
        visits.visit_no,
        visits.outcome,
        lead(visits.visit_no) OVER following AS next_visit_no,
        lead(visits.travel_min) OVER following AS next_travel_min,
    FROM with_faulty_part AS jobs
    INNER JOIN core.visits AS visits ON jobs.job_id = visits.job_id
    WHERE visits.is_attended
    WINDOW following AS (PARTITION BY visits.job_id ORDER BY visits.visit_no)
),

on_site AS (
    SELECT
        job_id,
        job_id AS found_on,
        visit_no,
        next_visit_no,
        next_travel_min AS lost_min,
        recorded_component AS component,
    FROM attended
    WHERE outcome = 'defective_part'
),

fitted_then AS (
    SELECT DISTINCT on_site.job_id, on_site.visit_no,
    FROM on_site
    INNER JOIN core.part_lines AS lines
        ON on_site.job_id = lines.job_id AND on_site.visit_no = lines.visit_no
),

on_site_lines AS (
    SELECT
        on_site.job_id,
        on_site.found_on,
        on_site.visit_no,
        CASE WHEN fitted_then.job_id IS NOT NULL THEN 'on that visit' ELSE 'in its place' END AS fitted,
        lines.part_no,
        lines.component,
        lines.unit_cost,
        lines.component = on_site.component AS is_meant,
    FROM on_site
    LEFT JOIN fitted_then
        ON on_site.job_id = fitted_then.job_id AND on_site.visit_no = fitted_then.visit_no
    INNER JOIN core.part_lines AS lines
        ON on_site.job_id = lines.job_id
        AND lines.visit_no = CASE
            WHEN fitted_then.job_id IS NOT NULL THEN on_site.visit_no
            ELSE on_site.next_visit_no
        END
),

returns AS (
    SELECT
        chosen.job_id,
        later.job_id AS found_on,
        links.callback_days,
        later.recorded_cause = 'defective_new_part' AS is_said,
        later.labour_min + later.travel_min AS lost_min,
    FROM core.callback_links AS links
    INNER JOIN chosen ON links.first_job = chosen.job_id
    INNER JOIN core.job_facts AS later ON links.callback_job = later.job_id
),

again AS (
    SELECT DISTINCT lines.job_id, lines.part_no, lines.component,
    FROM returns
    INNER JOIN core.part_lines AS lines ON returns.found_on = lines.job_id
),

return_lines AS (
    SELECT
        returns.job_id,
        returns.found_on,
        returns.is_said,
        lines.part_no,
        lines.component,
        lines.unit_cost,
        max(CASE WHEN again.component = lines.component THEN 1 ELSE 0 END) = 1 AS is_meant,
        max(CASE WHEN again.part_no = lines.part_no THEN 1 ELSE 0 END) = 1 AS is_same_number,
    FROM returns
    INNER JOIN core.part_lines AS lines ON returns.job_id = lines.job_id
    LEFT JOIN again ON returns.found_on = again.job_id
    WHERE returns.is_said OR returns.callback_days <= $warranty_days
    GROUP BY
        returns.job_id, returns.found_on, returns.is_said, lines.row_id, lines.item_no,
        lines.part_no, lines.component, lines.unit_cost
),

cases AS (
    SELECT
        'on site' AS evidence,
        on_site.job_id,
        on_site.found_on,
        on_site.visit_no,
        on_site.lost_min,
    FROM on_site
    UNION ALL
    SELECT 'came back', job_id, found_on, NULL, lost_min
    FROM returns
    WHERE is_said
    UNION ALL
    SELECT DISTINCT 'fitted again', returns.job_id, returns.found_on, NULL::INTEGER, returns.lost_min
    FROM returns
    INNER JOIN return_lines AS lines
        ON returns.job_id = lines.job_id AND returns.found_on = lines.found_on
    WHERE NOT coalesce(returns.is_said, FALSE) AND lines.is_same_number
),

candidates AS (
    SELECT
        'on site' AS evidence, job_id, found_on, visit_no, fitted, part_no, component, unit_cost,
        coalesce(is_meant, FALSE) AS is_meant,
    FROM on_site_lines
    UNION ALL
    SELECT 'came back', job_id, found_on, NULL, 'on the first job', part_no, component, unit_cost,
        coalesce(is_meant, FALSE)
    FROM return_lines
    WHERE is_said
    UNION ALL
    SELECT 'fitted again', job_id, found_on, NULL, 'on the first job', part_no, component, unit_cost,
        TRUE
    FROM return_lines
    WHERE NOT coalesce(is_said, FALSE) AND is_same_number
),

named AS (
    SELECT
        evidence,
        job_id,
        found_on,
        visit_no,
        min(fitted) AS fitted,
        CASE
            WHEN count(DISTINCT part_no) FILTER (WHERE is_meant) = 1
                THEN min(part_no) FILTER (WHERE is_meant)
            WHEN count(DISTINCT part_no) = 1 THEN min(part_no)
        END AS part_no,
    FROM candidates
    GROUP BY evidence, job_id, found_on, visit_no
),

priced AS (
    SELECT
        lines.job_id,
        lines.part_no,
        min(lines.component) AS component,
        max(lines.unit_cost)::DOUBLE AS unit_cost,
        CASE WHEN count(lines.supplier) = count(*) AND min(lines.supplier) = max(lines.supplier)
            THEN min(lines.supplier) END AS supplier,
    FROM (SELECT DISTINCT part_no FROM named) AS numbers
    INNER JOIN core.part_lines AS lines ON numbers.part_no = lines.part_no
    INNER JOIN chosen ON lines.job_id = chosen.job_id
    GROUP BY lines.job_id, lines.part_no
),

fitted_jobs AS (
    SELECT part_no, supplier, count(*) AS jobs,
    FROM priced
    GROUP BY part_no, supplier
),

fitted_of_any AS (
    SELECT part_no, sum(jobs)::BIGINT AS jobs,
    FROM fitted_jobs
    GROUP BY part_no
)

SELECT
    cases.evidence,
    named.part_no,
    priced.component,
    priced.supplier,
    cases.job_id,
    cases.found_on,
    cases.visit_no,
    named.fitted,
    chosen.appliance_kind,
    chosen.brand,
    chosen.model,
    chosen.closed_on,
    priced.unit_cost,
    cases.lost_min,
    cases.lost_min / 60 * $labour_per_hour::DOUBLE AS lost_cost,
    coalesce(fitted_jobs.jobs, fitted_of_any.jobs) AS fitted_jobs,
FROM cases
INNER JOIN chosen ON cases.job_id = chosen.job_id
LEFT JOIN named
    ON cases.evidence = named.evidence
    AND cases.job_id = named.job_id
    AND cases.found_on = named.found_on
    AND coalesce(cases.visit_no, 0) = coalesce(named.visit_no, 0)
LEFT JOIN priced ON cases.job_id = priced.job_id AND named.part_no = priced.part_no
LEFT JOIN fitted_jobs
    ON named.part_no = fitted_jobs.part_no AND priced.supplier = fitted_jobs.supplier
LEFT JOIN fitted_of_any ON named.part_no = fitted_of_any.part_no
ORDER BY cases.evidence, named.part_no, priced.supplier, cases.job_id, cases.found_on, cases.visit_no;
