-- What did it take to cure a complaint: minutes, trips, parts and money, returns included?
-- grain: one row per cured complaint, that is per repaired job that is no return under warranty.
-- unit: minutes; money in the shop's currency; whole days.
-- counts: repaired complaints of the filter with a repair code that is a repair. A return within
--         $warranty_days of the repair that it returns to (and a return of that) is no row: its minutes,
--         trips, parts and charge are in the return_ columns of the first job. Diagnosis is in
--         the time on job, so nothing is added for it; travel stands apart. NULL = not recorded:
--         a job with one unpriced part line has no parts cost; a job without part lines has none
--         to pay, if the shop records parts at all.
--         median_charged is what the first job charged; charged adds what its returns charged.
--         job_parts_price: each part line at its unit cost marked up by the slabs of $slabs (texts
--         "up to factor"), as each part is sold, not the job's sum; NULL as job_parts_cost.
--         part_trips: attended visits that ended for want of a part (not on the van, or on order) and
--         had another after them; NULL where a job of several visits has no visit listed.
--         Pricing (dashboard/pricing/rates.py) plans for the job's own minutes, second trips in; returns
--         are in the price once, as callback reserve: chance of a return under warranty times its mean
--         cost, both drawn toward the shop's (half and half at 30 jobs and at 5 returns).
WITH RECURSIVE warranty_returns AS (
    SELECT first_job, callback_job
    FROM core.callback_links
    WHERE callback_days <= $warranty_days
),

first_jobs AS (
    SELECT *
    FROM core.jobs_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, NULL
    )
    WHERE is_repaired
        AND is_complaint
        AND repair_code IS NOT NULL
        AND repair_code <> 'no_repair_possible'
        AND job_id NOT IN (SELECT callback_job FROM warranty_returns)
),

members AS (
    SELECT warranty_returns.first_job, warranty_returns.callback_job AS member
    FROM first_jobs
    INNER JOIN warranty_returns ON first_jobs.job_id = warranty_returns.first_job
    UNION ALL
    SELECT members.first_job, warranty_returns.callback_job
    FROM members
    INNER JOIN warranty_returns ON members.member = warranty_returns.first_job
),

slab_texts AS (SELECT unnest($slabs::VARCHAR[]) AS slab),

slabs AS (
    SELECT
        regexp_extract(slab, '^([^ ]+)', 1)::DOUBLE AS up_to,
        regexp_extract(slab, '([^ ]+)$', 1)::DOUBLE AS factor,
    FROM slab_texts
),

slices AS (
    SELECT
        up_to,
        factor,
        coalesce(lead(up_to) OVER (ORDER BY up_to DESC), 0) AS begins_at,
    FROM slabs
),

line_prices AS (
    SELECT
        costs.unit_cost,
        sum(
            slices.factor
            * greatest(least(costs.unit_cost::DOUBLE, slices.up_to) - slices.begins_at, 0)
        ) AS unit_price,
    FROM (SELECT DISTINCT unit_cost FROM core.part_lines WHERE unit_cost IS NOT NULL) AS costs
    CROSS JOIN slices
    GROUP BY costs.unit_cost
),

part_prices AS (
    SELECT
        lines.job_id,
        sum(core.line_money(lines.quantity, line_prices.unit_price))::DOUBLE AS parts_price,
    FROM first_jobs
    INNER JOIN core.part_lines AS lines ON first_jobs.job_id = lines.job_id
    INNER JOIN line_prices ON lines.unit_cost = line_prices.unit_cost
    GROUP BY lines.job_id
),

returns AS (
    SELECT
        members.first_job,
        jobs.labour_min,
        jobs.travel_min,
        jobs.attended_visits AS trips,
        jobs.charged,
        CASE
            WHEN jobs.unpriced_lines > 0 THEN NULL
            WHEN jobs.part_lines > 0 THEN jobs.parts_cost
            WHEN EXISTS (FROM core.part_lines) THEN 0
        END AS parts_cost,
    FROM members
    INNER JOIN core.job_facts AS jobs ON members.member = jobs.job_id
),

return_sums AS (
    SELECT
        first_job,
        count(*) AS returns,
        CASE WHEN count(*) = count(labour_min) THEN sum(labour_min) END AS labour_min,
        CASE WHEN count(*) = count(travel_min) THEN sum(travel_min) END AS travel_min,
        sum(coalesce(trips, 1)) AS trips,
        CASE WHEN count(*) = count(parts_cost) THEN sum(parts_cost) END AS parts_cost,
        sum(charged) AS charged,
    FROM returns
    GROUP BY first_job
)

SELECT
    first_jobs.job_id,
    first_jobs.closed_on,
    first_jobs.appliance_kind,
    first_jobs.brand,
    first_jobs.model,
    first_jobs.repair_code,
    codes.teardown_class,
    first_jobs.labour_min AS job_min,
    first_jobs.travel_min AS job_travel_min,
    coalesce(first_jobs.attended_visits, 1) AS job_trips,
    CASE
        WHEN first_jobs.unpriced_lines > 0 THEN NULL
        WHEN first_jobs.part_lines > 0 THEN first_jobs.parts_cost
        WHEN EXISTS (FROM core.part_lines) THEN 0
    END AS job_parts_cost,
    CASE
        WHEN first_jobs.unpriced_lines > 0 THEN NULL
        WHEN first_jobs.part_lines > 0 THEN part_prices.parts_price
        WHEN EXISTS (FROM core.part_lines) AND EXISTS (FROM slabs) THEN 0
    END AS job_parts_price,
    CASE
        WHEN first_jobs.part_trips IS NOT NULL THEN first_jobs.part_trips
        WHEN first_jobs.attended_visits = 1 THEN 0
    END AS part_trips,
    coalesce(return_sums.returns, 0) AS returns,
    CASE WHEN returns > 0 THEN return_sums.labour_min ELSE 0 END AS return_min,
    CASE WHEN returns > 0 THEN return_sums.travel_min ELSE 0 END AS return_travel_min,
    coalesce(return_sums.trips, 0)::BIGINT AS return_trips,
    CASE WHEN returns > 0 THEN return_sums.parts_cost ELSE 0 END AS return_parts_cost,
    first_jobs.charged::DOUBLE AS first_charged,
    (first_jobs.charged + coalesce(return_sums.charged, 0))::DOUBLE AS charged,
    first_jobs.is_linked,
    first_jobs.observed_days,
    first_jobs.callback_days,
FROM first_jobs
LEFT JOIN part_prices ON first_jobs.job_id = part_prices.job_id
LEFT JOIN return_sums ON first_jobs.job_id = return_sums.first_job
LEFT JOIN lookups.repair_codes AS codes
    ON first_jobs.appliance_kind = codes.kind AND first_jobs.repair_code = codes.repair
ORDER BY first_jobs.closed_on, first_jobs.job_id;
