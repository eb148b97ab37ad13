-- Why did one visit not do, and what did the further visit take?
-- grain: one row per group and reason.
-- unit: visits; share is a fraction (Wilson 95 %); minutes; money in the shop's currency.
-- counts: attended visits before the last attended one, by the outcome that ended them, over closed
--         jobs with more than one attended visit; trips without access and jobs with a visit in
--         quarantine are out. The minutes are those of the next attended visit, where recorded
--         (timed_visits says for how many): travel_min would not have been driven; part of labour_min
--         the repair needed anyway. Hence cost_low = travel at $labour_per_hour, cost_high = both.
WITH attended AS (
    SELECT
        jobs.group_name,
        jobs.job_id,
        visits.visit_no,
        visits.repeat_reason,
        lead(visits.visit_no) OVER following AS next_visit_no,
        lead(visits.travel_min) OVER following AS travel_min,
        lead(visits.labour_min) OVER following AS labour_min,
    FROM core.jobs_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, $group_by
    ) AS jobs
    INNER JOIN core.visits AS visits ON jobs.job_id = visits.job_id
    WHERE jobs.attended_visits > 1 AND visits.is_attended
    WINDOW following AS (PARTITION BY visits.job_id ORDER BY visits.visit_no)
),

reasons AS (
    SELECT
        group_name,
        repeat_reason,
        count(*) AS visits,
        count(DISTINCT job_id) AS jobs,
        count(travel_min + labour_min) AS timed_visits,
        sum(travel_min) AS travel_min,
        sum(labour_min) AS labour_min,
    FROM attended
    WHERE next_visit_no IS NOT NULL
    GROUP BY group_name, repeat_reason
),

totals AS (
    SELECT group_name, sum(visits) AS all_visits, FROM reasons GROUP BY group_name
)

SELECT
    reasons.group_name AS "group",
    reasons.repeat_reason AS reason,
    reasons.visits,
    reasons.visits / nullif(totals.all_visits, 0) AS share,
    core.wilson_low(reasons.visits, totals.all_visits) AS low,
    core.wilson_high(reasons.visits, totals.all_visits) AS high,
    reasons.jobs,
    reasons.timed_visits,
    reasons.travel_min,
    reasons.labour_min,
    reasons.travel_min / 60 * $labour_per_hour::DOUBLE AS cost_low,
    (reasons.travel_min + reasons.labour_min) / 60 * $labour_per_hour::DOUBLE AS cost_high,
FROM reasons
INNER JOIN totals ON reasons.group_name = totals.group_name
ORDER BY "group", visits DESC, reason;
