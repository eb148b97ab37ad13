-- How often is the diagnosis wrong, which habits go with it, and what does it cost?
-- grain: one row per group.
-- unit: jobs; rate, low, high are fractions (Wilson 95 %); minutes; money in the shop's currency.
-- counts: repaired complaints. wrong = corrected on a later visit, or came_back: a repaired callback
--         within the window after which the final cause is another component (end of the chain of
--         callbacks, companions apart). Judged: jobs past the window, on a known appliance, with a
--         diagnosis. A wrong diagnosis without a return is not seen: the rate is a lower bound.
--         Habits, never called wrong: not_tested = a part replaced and no test made that can see it
--         fail; against = the readings spoke strongly against a replaced part (ratio at most 0.1);
--         missed = a reading outside limits that the parts first fitted do not explain, as of their
--         visit; several = two or more components on one visit, fewer than two supported by readings.
--         rate = with_pattern / asked for $pattern (wrong when NULL); asked = jobs of which the records
--         can say it; compared with pages/diagnosis_strata by dashboard/evidence/compute.py.
--         cost = of the jobs with the pattern: minutes after the wrong visit
--         and of the callback at $labour_per_hour, and the parts that the final cause does not name;
--         parts without a cost count as 0.
WITH jobs AS (
    SELECT *,
    FROM core.patterns_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, $group_by,
        $window_days, $pattern
    )
),

groups AS (
    SELECT
        group_name,
        count(*) AS jobs,
        count(is_wrong) AS judged,
        count(*) FILTER (WHERE is_wrong) AS wrong,
        count(*) FILTER (WHERE is_wrong AND is_corrected) AS corrected,
        count(*) FILTER (WHERE is_came_back) AS came_back,
        count(*) FILTER (WHERE is_not_tested) AS not_tested,
        count(*) FILTER (WHERE is_against) AS against,
        count(*) FILTER (WHERE is_missed) AS missed,
        count(*) FILTER (WHERE is_several) AS several,
        count(has_pattern) AS asked,
        count(*) FILTER (WHERE has_pattern) AS with_pattern,
        sum(wrong_min) FILTER (WHERE has_pattern) AS lost_min,
        sum(wrong_parts_cost) FILTER (WHERE has_pattern) AS unneeded_parts_cost,
    FROM jobs
    GROUP BY group_name
)

SELECT
    groups.group_name AS "group",
    jobs,
    judged,
    wrong,
    corrected,
    came_back,
    not_tested,
    against,
    missed,
    several,
    with_pattern / nullif(asked, 0) AS rate,
    core.wilson_low(with_pattern, asked) AS low,
    core.wilson_high(with_pattern, asked) AS high,
    CASE WHEN asked > 0
        THEN coalesce(lost_min, 0) / 60 * $labour_per_hour::DOUBLE + coalesce(unneeded_parts_cost, 0)
    END AS cost,
    asked,
    with_pattern,
    CASE WHEN asked > 0 THEN coalesce(lost_min, 0) END AS lost_min,
    CASE WHEN asked > 0 THEN coalesce(unneeded_parts_cost, 0) END AS unneeded_parts_cost,
FROM groups
ORDER BY groups.group_name;
