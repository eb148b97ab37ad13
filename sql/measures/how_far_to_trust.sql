-- What difference could each page find in these records, and how often would it flag a false one?
-- grain: one row per technician; the measure (dashboard/power/compute.py) gives one row per page.
-- unit: jobs; usual, found and false_flags are fractions, of flat_rate money for one job.
-- counts: from the shop's own counts. n = jobs or readings of the typical (median) technician, month or
--         repair, and of the part number of the median part fitted; usual = what everybody shows;
--         found = the smallest value that the page names with 80 % chance; false_flags = chance that it
--         names anyone at all where no one differs: any technician; any part number, at most; any of
--         12 months; of flat_rate that the typical repair is listed as losing money though its price
--         is the cost at the target margin. Missing = cannot be said, or not found at any value.
--         misdiagnosis: outside 99.8 %; no exact test finds much more: of 8 % seen wrong where 4 % is usual,
--         400 jobs against 2,000, the best one 51 to 55 %, this page 50 %. meter_check: shift of all of one
--         meter's readings, normal with the shop's spread. early_parts: returns within a year. month_signals: beyond the limits.
-- source: binomial and normal distributions, early_parts and meter_check by 2,000 draws; efficiency
--         3/pi of the Mann-Whitney test (Lehmann 1975, Nonparametrics; from memory).
SELECT
    group_name AS technician,
    count(is_wrong) AS judged,
    count(*) FILTER (WHERE is_wrong) AS wrong,
FROM core.patterns_in(
    $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, 'technician',
    $window_days, NULL
)
GROUP BY group_name
ORDER BY technician;
