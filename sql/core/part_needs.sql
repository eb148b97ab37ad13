-- Which parts each job needed, on whose van and when, and whether a trip was lost for them.
-- grain: one row per attended job and part number, in order of closing; one row with part_no NULL for a
--        job that needed no part.
-- unit: units; minutes, travel in; money in the shop's currency for one unit.
-- counts: closed jobs whose first trip was made by a known technician: one technician, one van. A
--         part counts on the day of the first attended trip, else on that of closing.
--         is_part_needed = a trip ended because a part that could have been carried was not there
--         (part_not_on_van, wrong_part_brought); is_part_ordered = it was ordered on purpose. kit names
--         all parts and units of the job, the same in each of its rows; part_place counts its rows.
CREATE TABLE core.part_needs AS
WITH trips AS (
    SELECT
        job_id,
        min(arrived_at) FILTER (WHERE is_attended)::DATE AS first_on,
        count(*) FILTER (WHERE is_attended AND repeat_reason = 'part_needed') AS part_needed_visits,
        count(*) FILTER (WHERE is_attended AND repeat_reason = 'part_ordered') AS part_ordered_visits,
    FROM core.visits
    GROUP BY job_id
),

part_sums AS (
    SELECT
        job_id,
        part_no,
        min(component) AS component,
        ceil(sum(quantity))::BIGINT AS units,
        quantile_cont(unit_cost::DOUBLE, 0.5) AS unit_cost,
        coalesce(bool_or(is_from_van), FALSE) AS is_from_van,
    FROM core.part_lines
    GROUP BY job_id, part_no
    HAVING ceil(sum(quantity)) >= 1
),

kits AS (
    SELECT
        job_id,
        string_agg(part_no || ' ' || units::VARCHAR, chr(10) ORDER BY part_no) AS kit,
    FROM part_sums
    GROUP BY job_id
)

SELECT
    jobs.job_id,
    jobs.closed_on,
    jobs.branch,
    jobs.first_technician AS van,
    jobs.appliance_kind,
    jobs.symptom,
    jobs.repair_code,
    jobs.is_repaired,
    jobs.attended_visits,
    jobs.labour_min + coalesce(jobs.travel_min, 0) AS all_min,
    coalesce(trips.first_on, jobs.closed_on) AS needed_on,
    coalesce(trips.part_needed_visits > 0, FALSE) AS is_part_needed,
    coalesce(trips.part_ordered_visits > 0, FALSE) AS is_part_ordered,
    kits.kit,
    row_number() OVER (PARTITION BY jobs.job_id ORDER BY part_sums.part_no) AS part_place,
    part_sums.part_no,
    part_sums.component,
    part_sums.units,
    part_sums.unit_cost,
    part_sums.is_from_van,
FROM core.job_facts AS jobs
LEFT JOIN trips ON jobs.job_id = trips.job_id
LEFT JOIN part_sums ON jobs.job_id = part_sums.job_id
LEFT JOIN kits ON jobs.job_id = kits.job_id
WHERE jobs.closed_on IS NOT NULL
    AND jobs.attended_visits >= 1
    AND jobs.first_technician IS NOT NULL
ORDER BY jobs.closed_on, jobs.job_id, part_sums.part_no;
