-- Of the repairs past the window, how many were done in one visit and did not come back?
-- grain: one row per group.
-- unit: jobs; rate, low, high are fractions (Wilson 95 %).
-- counts: repaired complaints. Mature = closed at least the window ago; younger ones are pending,
--         whatever is known of them. Left out: jobs whose unit is unknown (a callback could not be
--         seen) and jobs whose visits are not recorded. repaired = pending + mature + left_out.
--         expected = first-time fixes if every job had the rate of the other groups for its kind and
--         complaint (the group itself is left out; where no other group has such a job, their rate of
--         the kind, else of all jobs, else the shop's). Groups that are kinds or complaints have
--         nothing to be left out of: their expected is the shop's.
--         ratio = jobs not fixed / expected not fixed (mature - expected), Byar's 95 % limits (exact
--         under 5). adjusted_rate = 1 - ratio × the shop's rate of jobs not fixed, within 0-1.
--         shrunk_rate = the group's own rate drawn toward the groups' mean (beta-binomial, maximum
--         likelihood over the groups shown); without spread beyond chance it is the shop's rate.
--         chance_below = chance that this own rate lies below the shop's.
--         funnel = where judged_rate lies among the limits of chance around judged_against, for
--         judged_jobs: inside 95 %, look (95 to 99.8 %), different; the upper limit is the mirror of
--         the lower limit of failures. judged_rate is the adjusted rate, with every other group that is
--         clearly different left out of the expected rates too, and judged_against the rate without
--         them; judged_jobs is smaller than mature because the others' rates are uncertain. Kinds and complaints are judged by rate and mature.
-- source: Breslow and Day (1987) for Byar's limits; Spiegelhalter (2005), Stat Med 24:1185, for the
--         funnel, exact binomial limits interpolated between the counts.
WITH jobs AS (
    SELECT
        *,
        is_counted AND attended_visits IS NOT NULL AS is_known,
        days_since_closed >= $window_days AS is_old_enough,
        attended_visits = 1 AND coalesce(callback_days > $window_days, TRUE) AS is_fixed,
    FROM core.jobs_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, $group_by
    )
    WHERE is_repaired AND is_complaint
),

strata AS (
    SELECT
        appliance_kind,
        symptom,
        count(*) AS shop_mature,
        count(*) FILTER (
            WHERE attended_visits = 1 AND coalesce(callback_days > $window_days, TRUE)
        ) AS shop_fixed,
    FROM core.jobs_in($from_date, $to_date, NULL, NULL, $appliance_kind, $symptom, NULL)
    WHERE is_counted AND attended_visits IS NOT NULL AND days_since_closed >= $window_days
    GROUP BY appliance_kind, symptom
),

own AS (
    SELECT
        group_name,
        appliance_kind,
        symptom,
        count(*) AS jobs,
        count(*) FILTER (WHERE is_fixed) AS fixed,
    FROM jobs
    WHERE is_known AND is_old_enough
    GROUP BY group_name, appliance_kind, symptom
),

others AS (
    SELECT
        own.*,
        strata.shop_fixed / nullif(strata.shop_mature, 0) AS shop_rate,
        (strata.shop_fixed - own.fixed) / nullif(strata.shop_mature - own.jobs, 0) AS rate,
    FROM own
    INNER JOIN strata
        ON own.appliance_kind = strata.appliance_kind AND own.symptom = strata.symptom
),

own_kinds AS (
    SELECT group_name, appliance_kind, sum(jobs) AS jobs, sum(fixed) AS fixed,
    FROM own
    GROUP BY group_name, appliance_kind
),

kinds AS (
    SELECT appliance_kind, sum(shop_mature) AS shop_mature, sum(shop_fixed) AS shop_fixed,
    FROM strata
    GROUP BY appliance_kind
),

shop AS (
    SELECT
        sum(shop_fixed) / nullif(sum(shop_mature), 0) AS shop_rate,
        sum(shop_mature) AS shop_mature,
        sum(shop_fixed) AS shop_fixed,
    FROM strata
),

other_kinds AS (
    SELECT
        own_kinds.group_name,
        own_kinds.appliance_kind,
        (kinds.shop_fixed - own_kinds.fixed) / nullif(kinds.shop_mature - own_kinds.jobs, 0) AS rate,
    FROM own_kinds
    INNER JOIN kinds ON own_kinds.appliance_kind = kinds.appliance_kind
),

other_groups AS (
    SELECT
        own.group_name,
        (any_value(shop.shop_fixed) - sum(own.fixed))
        / nullif(any_value(shop.shop_mature) - sum(own.jobs), 0) AS rate,
    FROM own
    CROSS JOIN shop
    GROUP BY own.group_name
),

expectations AS (
    SELECT
        others.group_name,
        sum(core.whole(others.jobs * CASE
            WHEN $group_by IN ('appliance_kind', 'symptom') THEN others.shop_rate
            ELSE coalesce(others.rate, other_kinds.rate, other_groups.rate, others.shop_rate)
        END, 1e8)) / 1e8 AS expected,
    FROM others
    INNER JOIN other_kinds
        ON others.group_name = other_kinds.group_name
        AND others.appliance_kind = other_kinds.appliance_kind
    INNER JOIN other_groups ON others.group_name = other_groups.group_name
    GROUP BY others.group_name
),

groups AS (
    SELECT
        jobs.group_name,
        count(*) AS repaired,
        count(*) FILTER (WHERE is_known AND NOT is_old_enough) AS pending,
        count(*) FILTER (WHERE is_known AND is_old_enough) AS mature,
        count(*) FILTER (WHERE attended_visits = 1) AS one_visit,
        count(*) FILTER (WHERE is_known AND is_old_enough AND is_fixed) AS fixed_first_time,
        count(*) FILTER (WHERE NOT is_known) AS left_out,
        count(*) FILTER (WHERE NOT is_counted) AS unlinked,
        count(*) FILTER (WHERE attended_visits IS NULL) AS visits_unknown,
    FROM jobs
    GROUP BY jobs.group_name
)

SELECT
    groups.group_name AS "group",
    repaired,
    pending,
    mature,
    one_visit,
    fixed_first_time,
    fixed_first_time / nullif(mature, 0) AS rate,
    core.wilson_low(fixed_first_time, mature) AS low,
    core.wilson_high(fixed_first_time, mature) AS high,
    expectations.expected,
    left_out,
    unlinked,
    visits_unknown,
    shop.shop_rate,
    shop.shop_mature::BIGINT AS shop_mature,
    coalesce($group_by NOT IN ('appliance_kind', 'symptom'), TRUE) AS is_mix_apart,
FROM groups
CROSS JOIN shop
LEFT JOIN expectations ON groups.group_name = expectations.group_name
ORDER BY groups.group_name;
