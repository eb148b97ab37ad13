-- Do repairs with one part number come back more often than those with its alternatives?
-- grain: one row per appliance kind, component, part number and day on which a repair came back or was
--        last seen; the measure (dashboard/fairness/early_parts.py) gives one row per part.
-- unit: jobs; days since closing, 0-365; rate, low, high are fractions (Wilson 95 %).
-- counts: repaired complaints whose unit is known, in which the part was fitted; a job with two part
--         numbers counts under both. jobs, callbacks, rate: only jobs older than the window, and their
--         returns within it. The test follows every job for as long as it was seen, 365 days at most.
--         The yardstick is the other part numbers of the same component and appliance kind, and never
--         other components: without an alternative a part is not asked, nor with fewer than 5 jobs.
--         expected = returns within 365 days if the part were like its alternatives; p_value: as many
--         or more by chance, over all kinds and components of the part number. adjusted_p: chance that
--         any of the part numbers asked looks so bad without being so; each counts by the chances
--         that its few returns can reach, and those whose jobs and returns can show most may use most
--         of it. flagged: adjusted_p at most 0.0375, at which some 5 % of simulated shops without a bad
--         part have one.
-- source: log-rank test (Mantel 1966), one side, stratified by kind and component, with the binomial
--         chance of so many returns; Holm's weighted step-down for counts (Holm 1979, Scand J
--         Stat 6:65; Tarone 1990, Biometrics 46:515), weights: returns times own share times the others'.
WITH fitted AS (
    SELECT DISTINCT
        jobs.job_id,
        jobs.appliance_kind,
        coalesce(part_lines.component, 'not recorded') AS component,
        part_lines.part_no,
        jobs.observed_days,
        jobs.callback_days,
        jobs.days_since_closed,
    FROM core.jobs_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, NULL
    ) AS jobs
    INNER JOIN core.part_lines AS part_lines ON jobs.job_id = part_lines.job_id
    WHERE jobs.is_counted
)

SELECT
    appliance_kind,
    component,
    part_no,
    observed_days AS day,
    count(*) AS seen,
    count(*) FILTER (WHERE callback_days <= core.callback_horizon_days()) AS back,
    count(*) FILTER (WHERE days_since_closed >= $window_days) AS mature,
    count(*) FILTER (
        WHERE days_since_closed >= $window_days AND callback_days <= $window_days
    ) AS callbacks,
FROM fitted
GROUP BY appliance_kind, component, part_no, observed_days
ORDER BY appliance_kind, component, part_no, observed_days;
