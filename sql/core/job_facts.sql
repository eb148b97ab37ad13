-- Every flag and number of a job that a page filters or averages.
-- grain: one row per job, in order of closing.
-- unit: minutes, money in the shop's currency, whole days.
-- counts: is_counted = repaired, a repair complaint, and its unit is known, so that a callback could
--         be seen; a written link does not make up for an unknown unit, or only failures would count.
--         final_ columns = what the last repaired job in the chain of callbacks found, where that is
--         another component than recorded. attended_visits NULL = not recorded, or one of its visits
--         is in quarantine; minutes are NULL unless every visit has them. observed_days = how long
--         the job was followed: days to its callback, else to the end of the records.
--         Of jobs with several attended visits: first_reason = why the first was not enough, trip_min
--         = road to the others. part_trips: attended visits that ended for want of a part and had
--         another after them, NULL where none is listed. unpriced_lines: part lines without a cost.
--         main_part: of the parts fitted after the first attended visit, else of all, the one that
--         cost most.
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

several_visits AS (
    SELECT job_id, min(visit_no) AS first_visit_no, max(visit_no) AS last_visit_no,
    FROM core.visits
    WHERE is_attended
    GROUP BY job_id
    HAVING count(*) > 1
),

trips AS (
    SELECT
        several_visits.job_id,
        min(visits.repeat_reason) FILTER (WHERE visits.visit_no = several_visits.first_visit_no)
            AS first_reason,
        sum(visits.travel_min) FILTER (WHERE visits.visit_no > several_visits.first_visit_no)
            AS trip_min,
        count(*) FILTER (
            WHERE visits.repeat_reason IN ('part_needed', 'part_ordered')
            AND visits.visit_no < several_visits.last_visit_no
        ) AS part_trips,
    FROM several_visits
    INNER JOIN core.visits AS visits ON several_visits.job_id = visits.job_id
    WHERE visits.is_attended
    GROUP BY several_visits.job_id
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
        count(*) - count(unit_cost) AS unpriced_lines,
        min(part_no) AS first_part,
        max(part_no) AS last_part,
        sum(core.line_money(quantity, unit_cost))::DOUBLE AS parts_cost,
        sum(core.line_money(quantity, unit_charge))::DOUBLE AS parts_charge,
    FROM core.part_lines
    GROUP BY job_id
),

main_parts AS (
    SELECT lines.job_id, lines.part_no,
    FROM part_sums
    INNER JOIN core.part_lines AS lines ON part_sums.job_id = lines.job_id
    LEFT JOIN several_visits ON part_sums.job_id = several_visits.job_id
    WHERE part_sums.first_part <> part_sums.last_part
    QUALIFY row_number() OVER (
        PARTITION BY lines.job_id
        ORDER BY
            CASE WHEN lines.visit_no > several_visits.first_visit_no THEN 0 ELSE 1 END,
            coalesce(core.line_money(lines.quantity, lines.unit_cost), 0) DESC,
            lines.part_no,
            lines.row_id,
            lines.item_no
    ) = 1
),

reading_sums AS (
    SELECT job_id, count(*) AS readings FROM core.readings GROUP BY job_id
),

first_callbacks AS (
    SELECT links.first_job, links.callback_job, links.callback_days,
    FROM core.callback_links AS links
    INNER JOIN core.jobs AS later ON links.callback_job = later.job_id
    QUALIFY row_number() OVER (
        PARTITION BY links.first_job
        ORDER BY
            later.opened_on,
            coalesce(later.opened_minute, 0),
            core.number_key(later.job_id),
            later.job_id
    ) = 1
),

found_later AS (
    SELECT chain_ends.first_job, jobs.root_cause, jobs.cause_component, jobs.cause_class,
    FROM staged.chain_ends AS chain_ends
    INNER JOIN core.jobs AS jobs ON chain_ends.cause_job = jobs.job_id
    INNER JOIN core.jobs AS first_jobs ON chain_ends.first_job = first_jobs.job_id
    WHERE jobs.cause_component IS DISTINCT FROM first_jobs.cause_component
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
    CASE WHEN found_later.first_job IS NOT NULL THEN found_later.root_cause ELSE jobs.root_cause
    END AS final_cause,
    coalesce(found_later.cause_component, jobs.cause_component) AS final_component,
    CASE WHEN found_later.first_job IS NOT NULL THEN found_later.cause_class ELSE jobs.cause_class
    END AS final_cause_class,
    jobs.repair_code,
    jobs.disposition,
    jobs.disposition = 'repaired' AS is_repaired,
    jobs.symptom_family <> 'no_complaint' AS is_complaint,
    jobs.unit_key IS NOT NULL AS is_linked,
    jobs.disposition = 'repaired'
        AND jobs.symptom_family <> 'no_complaint'
        AND jobs.unit_key IS NOT NULL
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
    trips.first_reason,
    trips.trip_min,
    CASE WHEN visit_sums.attended_visits > 0 THEN coalesce(trips.part_trips, 0) END AS part_trips,
    jobs.charged,
    coalesce(jobs.parts_charged::DOUBLE, part_sums.parts_charge) AS parts_charged,
    jobs.labour_charged,
    part_sums.parts_cost,
    coalesce(part_sums.part_lines, 0) AS part_lines,
    coalesce(part_sums.unpriced_lines, 0) AS unpriced_lines,
    coalesce(main_parts.part_no, part_sums.first_part) AS main_part,
    coalesce(reading_sums.readings, 0) AS readings,
    links.first_job AS callback_of,
    first_callbacks.callback_job,
    first_callbacks.callback_days,
    date_diff('day', jobs.closed_on, dataset.as_of)::INTEGER AS days_since_closed,
    core.observed_days(first_callbacks.callback_days, jobs.closed_on, dataset.as_of) AS observed_days,
    jobs.unit_key,
FROM core.jobs AS jobs
CROSS JOIN core.dataset AS dataset
LEFT JOIN visit_sums ON jobs.job_id = visit_sums.job_id
LEFT JOIN unread_visits ON jobs.job_id = unread_visits.job_id
LEFT JOIN trips ON jobs.job_id = trips.job_id
LEFT JOIN part_sums ON jobs.job_id = part_sums.job_id
LEFT JOIN main_parts ON jobs.job_id = main_parts.job_id
LEFT JOIN reading_sums ON jobs.job_id = reading_sums.job_id
LEFT JOIN core.callback_links AS links ON jobs.job_id = links.callback_job
LEFT JOIN first_callbacks ON jobs.job_id = first_callbacks.first_job
LEFT JOIN found_later ON jobs.job_id = found_later.first_job
ORDER BY jobs.closed_on, jobs.job_id;
