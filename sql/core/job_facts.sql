-- Every flag and number of a job that a page filters or averages.
-- grain: one row per job, in order of closing.
-- unit: minutes, money in the shop's currency, whole days.
-- counts: is_counted = repaired, a repair complaint, and its unit is known, so that a callback could
--         be seen. attended_visits NULL = the records do not
--         tell, or one of its visits waits in quarantine; minutes are NULL unless every visit has
--         them. observed_days is what the
--         callback-free curve has seen of the job: days to its callback, else to the end of records.
CREATE TABLE core.job_facts AS
WITH visit_sums AS (
    SELECT
        job_id,
        count(*) FILTER (WHERE is_attended) AS attended_visits,
        CASE WHEN count(*) FILTER (WHERE is_attended AND labour_min IS NULL) = 0
            THEN sum(labour_min) FILTER (WHERE is_attended)
        END AS labour_min,
        CASE WHEN count(*) FILTER (WHERE travel_min IS NULL) = 0
            THEN sum(travel_min)
        END AS travel_min,
        arg_max(technician, visit_no) FILTER (WHERE is_attended) AS last_technician,
        arg_min(technician, visit_no) FILTER (WHERE is_attended) AS first_technician,
    FROM core.visits
    GROUP BY job_id
),

unread_visits AS (
    SELECT DISTINCT job_id
    FROM staged.visits_left_out
    WHERE status = 'quarantined' AND job_id IS NOT NULL
),

part_sums AS (
    SELECT
        job_id,
        count(*) AS part_lines,
        sum(core.line_money(quantity, unit_cost))::DOUBLE AS parts_cost,
        sum(core.line_money(quantity, unit_charge))::DOUBLE AS parts_charge,
    FROM core.part_lines
    GROUP BY job_id
),

reading_sums AS (
    SELECT job_id, count(*) AS readings FROM core.readings GROUP BY job_id
),

first_callbacks AS (
    SELECT
        links.first_job,
        arg_min(links.callback_job, (links.callback_days, links.callback_job)) AS callback_job,
        min(links.callback_days) AS callback_days,
    FROM core.callback_links AS links
    GROUP BY links.first_job
),

answers AS (
    SELECT
        first_callbacks.first_job,
        first_callbacks.callback_job,
        first_callbacks.callback_days,
        later.disposition = 'repaired' AS is_callback_repaired,
        later.root_cause,
        later.cause_component,
        later.cause_class,
    FROM first_callbacks
    INNER JOIN core.jobs AS later ON first_callbacks.callback_job = later.job_id
)

SELECT
    jobs.job_id,
    jobs.opened_on,
    jobs.closed_on,
    strftime(jobs.closed_on, '%Y-%m') AS closed_month,
    jobs.branch,
    coalesce(visit_sums.last_technician, jobs.technician) AS technician,
    coalesce(visit_sums.first_technician, jobs.technician) AS first_technician,
    jobs.appliance_kind,
    jobs.brand,
    jobs.model,
    jobs.symptom,
    jobs.symptom_family,
    jobs.root_cause AS recorded_cause,
    jobs.cause_component AS recorded_component,
    CASE
        WHEN answers.is_callback_repaired
            AND answers.cause_component IS NOT NULL
            AND answers.cause_component IS DISTINCT FROM jobs.cause_component
        THEN answers.root_cause
        ELSE jobs.root_cause
    END AS final_cause,
    CASE
        WHEN answers.is_callback_repaired
            AND answers.cause_component IS NOT NULL
            AND answers.cause_component IS DISTINCT FROM jobs.cause_component
        THEN answers.cause_component
        ELSE jobs.cause_component
    END AS final_component,
    CASE
        WHEN answers.is_callback_repaired
            AND answers.cause_component IS NOT NULL
            AND answers.cause_component IS DISTINCT FROM jobs.cause_component
        THEN answers.cause_class
        ELSE jobs.cause_class
    END AS final_cause_class,
    jobs.repair_code,
    jobs.disposition,
    jobs.disposition = 'repaired' AS is_repaired,
    jobs.symptom_family <> 'no_complaint' AS is_complaint,
    jobs.unit_key IS NOT NULL OR jobs.callback_of IS NOT NULL AS is_linked,
    jobs.disposition = 'repaired'
        AND jobs.symptom_family <> 'no_complaint'
        AND (jobs.unit_key IS NOT NULL OR jobs.callback_of IS NOT NULL OR answers.callback_job IS NOT NULL)
        AS is_counted,
    CASE WHEN unread_visits.job_id IS NULL
        THEN coalesce(visit_sums.attended_visits, jobs.visit_count)
    END AS attended_visits,
    CASE WHEN unread_visits.job_id IS NULL
        THEN coalesce(visit_sums.labour_min, jobs.labour_min)
    END AS labour_min,
    CASE WHEN unread_visits.job_id IS NULL
        THEN coalesce(visit_sums.travel_min, jobs.travel_min)
    END AS travel_min,
    jobs.charged,
    coalesce(jobs.parts_charged::DOUBLE, part_sums.parts_charge) AS parts_charged,
    jobs.labour_charged,
    part_sums.parts_cost,
    coalesce(part_sums.part_lines, 0) AS part_lines,
    coalesce(reading_sums.readings, 0) AS readings,
    links.first_job AS callback_of,
    answers.callback_job,
    answers.callback_days,
    date_diff('day', jobs.closed_on, dataset.as_of)::INTEGER AS days_since_closed,
    core.observed_days(answers.callback_days, jobs.closed_on, dataset.as_of) AS observed_days,
    jobs.unit_key,
FROM core.jobs AS jobs
CROSS JOIN core.dataset AS dataset
LEFT JOIN visit_sums ON jobs.job_id = visit_sums.job_id
LEFT JOIN unread_visits ON jobs.job_id = unread_visits.job_id
LEFT JOIN part_sums ON jobs.job_id = part_sums.job_id
LEFT JOIN reading_sums ON jobs.job_id = reading_sums.job_id
LEFT JOIN core.callback_links AS links ON jobs.job_id = links.callback_job
LEFT JOIN answers ON jobs.job_id = answers.first_job
ORDER BY jobs.closed_on, jobs.job_id;
