-- Which complaints come in which months, for planning staff?
-- grain: one row per appliance kind, complaint and month of opening; the measure
--         (dashboard/fairness/season.py) gives one row per kind, complaint and calendar month.
-- unit: calls; index 1 = an average month.
-- counts: complaints by the month in which they were opened, whatever became of them, open ones in; the
--         period of the filter is that of opening. Only whole months count, as whole years back from
--         the last whole month; under two years index, low and high are NULL: it cannot be said.
--         index = 12 x calls of the calendar month / calls of all years; its 95 % interval allows for
--         how much the months of different years differ (quasi-Poisson, at least Poisson).
--         expected_calls = index x mean calls a month of the last year; expected_hours = that x mean
--         time of a call of these, on the job and on the road, where it is recorded. seasonal: q_value at most 0.05
--         that all months were alike, over all complaints with 60 calls or more. 'all' = together.
-- source: McCullagh & Nelder 1989, section 6.2; Wilson 1927; Benjamini & Hochberg 1995.
WITH bounds AS (
    SELECT
        greatest(first_closed_on, coalesce($from_date::DATE, first_closed_on)) AS begins_on,
        least(as_of, coalesce($to_date::DATE, as_of)) AS ends_on,
    FROM core.dataset
),

calls AS (
    SELECT
        jobs.appliance_kind,
        jobs.symptom,
        strftime(jobs.opened_on, '%Y-%m') AS opened_month,
        jobs.labour_min + jobs.travel_min AS call_min,
        bounds.begins_on,
        bounds.ends_on,
    FROM core.job_facts AS jobs
    CROSS JOIN bounds
    WHERE jobs.is_complaint
        AND jobs.opened_on >= bounds.begins_on
        AND jobs.opened_on <= bounds.ends_on
        AND core.is_chosen($branch, jobs.branch)
        AND core.is_chosen($technician, jobs.technician)
        AND core.is_chosen($appliance_kind, jobs.appliance_kind)
        AND core.is_chosen($symptom, jobs.symptom)
)

SELECT
    appliance_kind,
    symptom,
    opened_month,
    begins_on,
    ends_on,
    count(*) AS calls,
    count(call_min) AS timed,
    sum(call_min) AS minutes,
FROM calls
GROUP BY appliance_kind, symptom, opened_month, begins_on, ends_on
ORDER BY appliance_kind, symptom, opened_month;
