-- How often does a repair show a wrong diagnosis, and what did that cost?
-- grain: one row per group.
-- unit: jobs; rate, low, high are fractions (Wilson 95 %); minutes; money in the shop's currency.
-- counts: repaired complaints. Five patterns, a job may show several:
--         condemned_while_good = a part replaced although every reading of it was inside limits;
--         no_evidence = a part replaced that has a test, and no reading of it;
--         passed_over = a reading outside limits that nothing replaced or recorded explains;
--         proved_wrong = a callback within the window, repaired, whose cause is another component;
--         parts_at_a_guess = two or more components replaced, fewer than two with a reading outside.
--         rate = with_pattern / asked for $pattern, or for any of the five when it is NULL. asked =
--         jobs of which the records can say it; proved_wrong and any: only jobs older than the window
--         whose appliance is known. expected = with_pattern if every job had the shop's rate for its
--         kind and complaint. cost = of the jobs with the pattern: the callback's minutes on the job
--         and on the road at $labour_per_hour, and the parts of both jobs that were not needed (no
--         reading outside, another component the final cause); parts without a cost count as 0.
WITH jobs AS (
    SELECT
        *,
        CASE coalesce($pattern, 'any')
            WHEN 'condemned_while_good' THEN is_condemned_while_good
            WHEN 'no_evidence' THEN is_no_evidence
            WHEN 'passed_over' THEN is_passed_over
            WHEN 'proved_wrong' THEN is_proved_wrong
            WHEN 'parts_at_a_guess' THEN is_at_a_guess
            ELSE has_any
        END AS has_pattern,
    FROM core.patterns_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, $group_by,
        $window_days
    )
),

shop AS (
    SELECT
        appliance_kind,
        symptom,
        CASE coalesce($pattern, 'any')
            WHEN 'condemned_while_good' THEN is_condemned_while_good
            WHEN 'no_evidence' THEN is_no_evidence
            WHEN 'passed_over' THEN is_passed_over
            WHEN 'proved_wrong' THEN is_proved_wrong
            WHEN 'parts_at_a_guess' THEN is_at_a_guess
            ELSE has_any
        END AS has_pattern,
    FROM core.patterns_in(
        $from_date, $to_date, NULL, NULL, $appliance_kind, $symptom, NULL, $window_days
    )
),

strata AS (
    SELECT
        appliance_kind,
        symptom,
        avg(CASE WHEN has_pattern THEN 1.0 ELSE 0.0 END) AS shop_rate,
    FROM shop
    WHERE has_pattern IS NOT NULL
    GROUP BY appliance_kind, symptom
),

groups AS (
    SELECT
        jobs.group_name,
        count(*) AS jobs,
        count(*) FILTER (WHERE is_condemned_while_good) AS condemned_while_good,
        count(*) FILTER (WHERE is_no_evidence) AS no_evidence,
        count(*) FILTER (WHERE is_passed_over) AS passed_over,
        count(*) FILTER (WHERE is_proved_wrong) AS proved_wrong,
        count(*) FILTER (WHERE is_at_a_guess) AS parts_at_a_guess,
        count(has_pattern) AS asked,
        count(*) FILTER (WHERE has_pattern) AS with_pattern,
        sum(strata.shop_rate) FILTER (WHERE has_pattern IS NOT NULL) AS expected,
        sum(wrong_min) FILTER (WHERE has_pattern) AS lost_min,
        sum(wrong_parts_cost) FILTER (WHERE has_pattern) AS unneeded_parts_cost,
    FROM jobs
    LEFT JOIN strata
        ON jobs.appliance_kind = strata.appliance_kind AND jobs.symptom = strata.symptom
    GROUP BY jobs.group_name
)

SELECT
    group_name AS "group",
    jobs,
    condemned_while_good,
    no_evidence,
    passed_over,
    proved_wrong,
    parts_at_a_guess,
    with_pattern / nullif(asked, 0) AS rate,
    core.wilson_low(with_pattern, asked) AS low,
    core.wilson_high(with_pattern, asked) AS high,
    CASE WHEN asked > 0
        THEN coalesce(lost_min, 0) / 60 * $labour_per_hour::DOUBLE + coalesce(unneeded_parts_cost, 0)
    END AS cost,
    asked,
    with_pattern,
    expected,
    CASE WHEN asked > 0 THEN coalesce(lost_min, 0) END AS lost_min,
    CASE WHEN asked > 0 THEN coalesce(unneeded_parts_cost, 0) END AS unneeded_parts_cost,
FROM groups
ORDER BY group_name;
