-- Which parts did each job need, on whose van, in which restock period, and was a trip lost for them?
-- grain: one row per job and part number; one row with part_no NULL for a job that needed no part.
-- unit: units; minutes; money in the shop's currency for one unit. period_no counts restock periods
--       of $restock_days from the first day of the filter's records on.
-- counts: closed jobs that were attended (first trip by a known technician: one technician, one
--         van; the filter of technicians is one of vans). A part counts on the day of the first attended trip, else on that of closing.
--         is_part_needed = a trip ended because a part that could have been carried was not there
--         (part_not_on_van, wrong_part_brought); is_part_ordered = it was ordered on purpose.
WITH trips AS (
    SELECT
        job_id,
        min(arrived_at)::DATE AS first_on,
        count(*) FILTER (WHERE is_attended AND repeat_reason = 'part_needed') AS part_needed_visits,
        count(*) FILTER (WHERE is_attended AND repeat_reason = 'part_ordered') AS part_ordered_visits,
    FROM core.visits
    GROUP BY job_id
),

jobs AS (
    SELECT
        jobs.job_id,
        jobs.first_technician AS van,
        coalesce(trips.first_on, jobs.closed_on) AS needed_on,
        jobs.appliance_kind,
        jobs.repair_code,
        jobs.is_repaired,
        jobs.attended_visits,
        jobs.labour_min,
        jobs.travel_min,
        coalesce(trips.part_needed_visits, 0) AS part_needed_visits,
        coalesce(trips.part_ordered_visits, 0) AS part_ordered_visits,
    FROM core.jobs_in(
        $from_date, $to_date, $branch, NULL, $appliance_kind, $symptom, NULL
    ) AS jobs
    LEFT JOIN trips ON jobs.job_id = trips.job_id
    WHERE jobs.attended_visits >= 1
        AND jobs.first_technician IS NOT NULL
        AND (
            coalesce(len($technician::VARCHAR[]), 0) = 0
            OR list_contains($technician::VARCHAR[], jobs.first_technician)
        )
),

part_sums AS (
    SELECT
        job_id,
        part_no,
        min(component) AS component,
        ceil(sum(quantity))::BIGINT AS units,
        quantile_cont(unit_cost::DOUBLE, 0.5) AS unit_cost,
        bool_or(is_from_van) AS is_from_van,
    FROM core.part_lines
    GROUP BY job_id, part_no
    HAVING ceil(sum(quantity)) >= 1
)

SELECT
    jobs.job_id,
    jobs.van,
    jobs.needed_on,
    floor(
        date_diff('day', min(jobs.needed_on) OVER (), jobs.needed_on)
        / nullif($restock_days::DOUBLE, 0)
    )::BIGINT AS period_no,
    jobs.appliance_kind,
    jobs.repair_code,
    jobs.is_repaired,
    jobs.attended_visits,
    jobs.labour_min,
    jobs.travel_min,
    jobs.part_needed_visits > 0 AS is_part_needed,
    jobs.part_ordered_visits > 0 AS is_part_ordered,
    part_sums.part_no,
    part_sums.component,
    part_sums.units,
    part_sums.unit_cost,
    part_sums.is_from_van,
FROM jobs
LEFT JOIN part_sums ON jobs.job_id = part_sums.job_id
ORDER BY jobs.needed_on, jobs.job_id, part_sums.part_no;
