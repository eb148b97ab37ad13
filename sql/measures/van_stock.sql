-- What the vans needed: which parts the jobs asked for together, and how often; trips lost for parts.
-- grain: one row per kit (the parts and units that a job needed) and part number; without any part
--        one row with part_no NULL.
-- unit: units; money in the shop's currency for one unit; minutes. kit_no, kit_jobs, kit_units are the
--       kit's; component to last_needed_on the part's, over all kits; vans to compared_jobs the
--       shop's: the same in every row. units_squared adds up the squares of the units that each van
--       needed in each restock period of $restock_days, counted from the first day of the filter's
--       records on; van_periods are those in which a van attended a job, periods all from first to last.
-- counts: as core.part_needs: closed jobs whose first trip was made by a known technician, who is one
--         van (the filter of technicians is one of vans); a part counts on the day of the first trip.
--         needed_jobs = a trip ended because a part that could have been carried was not there
--         (part_not_on_van, wrong_part_brought); ordered_jobs = it was ordered on purpose; both of
--         part_jobs, that needed parts. extra_min = what the compared_jobs, repaired in two visits
--         with a trip lost for a part, took beyond the mean of the same repair and appliance done in
--         one, travel in.
WITH first_day AS (
    SELECT min(needed_on) AS first_on,
    FROM core.needs_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom
    )
),

van_units AS (
    SELECT
        needs.part_no,
        needs.van,
        floor(
            date_diff('day', first_day.first_on, needs.needed_on)
            / nullif($restock_days::DOUBLE, 0)
        )::BIGINT AS period_no,
        sum(needs.units)::BIGINT AS units,
    FROM core.needs_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom
    ) AS needs
    CROSS JOIN first_day
    GROUP BY needs.part_no, needs.van, period_no
),

demands AS (
    SELECT
        part_no,
        sum(units)::BIGINT AS units,
        sum(units * units)::BIGINT AS units_squared,
    FROM van_units
    WHERE part_no IS NOT NULL
    GROUP BY part_no
),

van_periods AS (
    SELECT DISTINCT van, period_no FROM van_units
),

at_work AS (
    SELECT
        count(DISTINCT van) AS vans,
        count(*) AS van_periods,
        coalesce(max(period_no) + 1, 0) AS periods,
    FROM van_periods
),

parts AS (
    SELECT
        part_no,
        arg_min(component, (needed_on, job_id)) FILTER (WHERE component IS NOT NULL) AS component,
        quantile_cont(unit_cost::DOUBLE, 0.5) AS unit_cost,
        bool_or(is_from_van) AS is_from_van,
        max(needed_on) AS last_needed_on,
    FROM core.needs_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom
    )
    WHERE part_no IS NOT NULL
    GROUP BY part_no
),

kits AS (
    SELECT kit, part_no, units AS kit_units, count(*) AS kit_jobs, min(job_id) AS first_job,
    FROM core.needs_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom
    )
    WHERE part_no IS NOT NULL
    GROUP BY kit, part_no, units
),

jobs AS (
    SELECT *,
        part_no IS NOT NULL AND is_repaired AS is_with_part,
    FROM core.needs_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom
    )
    WHERE part_place = 1 AND (part_no IS NOT NULL OR is_part_needed)
),

single AS (
    SELECT appliance_kind, repair_code, avg(all_min) AS all_min,
    FROM jobs
    WHERE is_with_part AND attended_visits = 1
    GROUP BY appliance_kind, repair_code
),

trips_lost AS (
    SELECT
        count(*) AS part_jobs,
        count(*) FILTER (WHERE jobs.is_part_needed) AS needed_jobs,
        count(*) FILTER (WHERE jobs.is_part_ordered AND NOT jobs.is_part_needed) AS ordered_jobs,
        avg(jobs.all_min - single.all_min) AS extra_min,
        count(jobs.all_min - single.all_min) AS compared_jobs,
    FROM jobs
    LEFT JOIN single
        ON jobs.appliance_kind = single.appliance_kind
        AND jobs.repair_code = single.repair_code
        AND jobs.is_with_part
        AND jobs.is_part_needed
        AND jobs.attended_visits = 2
),

kit_parts AS (
    SELECT
        dense_rank() OVER (ORDER BY kits.kit_jobs DESC, kits.first_job) AS kit_no,
        kits.kit_jobs,
        kits.kit_units,
        parts.*,
        demands.units,
        demands.units_squared,
    FROM kits
    INNER JOIN parts ON kits.part_no = parts.part_no
    INNER JOIN demands ON kits.part_no = demands.part_no
)

SELECT
    kit_parts.*,
    at_work.*,
    trips_lost.*,
FROM at_work
CROSS JOIN trips_lost
LEFT JOIN kit_parts ON TRUE
ORDER BY kit_parts.kit_no, kit_parts.part_no;
