-- What is left per hour of a technician, by appliance, brand or repair?
-- grain: one row per completed repair, with its group and brand; the measure
--         (dashboard/pricing/profit_groups.py) adds up money and hours by group.
-- unit: money in the shop's currency; hours on the job and on the road, returns under warranty in.
-- counts: the rows of flat_rate whose minutes, part costs and charge are recorded (jobs); the others
--         are unknown_jobs. Without $group_by one row per repair and appliance; 'brand' is the
--         brand. profit = charged less cost to serve as it really was, labor at the shop's loaded
--         rate; profit_per_hour = sum of profit / sum of hours, with its 95 % interval over jobs.
-- source: ratio of sums with the variance of its linearized residuals (Cochran 1977, chapter 6).
SELECT
    job_id,
    group_name,
    coalesce(brand, 'not recorded') AS brand,
FROM core.jobs_in(
    $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, $group_by
)
WHERE is_repaired
    AND is_complaint
    AND repair_code IS NOT NULL
    AND repair_code <> 'no_repair_possible'
ORDER BY closed_on, job_id;
