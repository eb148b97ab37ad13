-- Of the repairs old enough to tell, how many were done in one visit and did not come back?
-- grain: one row per group.
-- unit: jobs; rate, low, high are fractions (Wilson 95 %).
-- counts: repaired complaints. Mature = closed at least the window ago; younger ones are pending,
--         whatever is known of them. Left out: jobs whose unit is unknown (a callback could not be
--         seen) and jobs whose visits are not recorded. repaired = pending + mature + left_out.
--         expected = first-time fixes if every job had the shop's rate for its kind and complaint.
--         ratio = jobs not fixed / expected not fixed (mature - expected), Byar's 95 % limits (exact
--         under 5). adjusted_rate = 1 - ratio × the shop's rate of jobs not fixed, within 0-1.
--         shrunk_rate = the group's own rate drawn toward the groups' mean (beta-binomial, maximum
--         likelihood over the groups shown); without spread beyond chance it is the shop's rate.
--         chance_below = chance that this own rate lies below the shop's.
--         funnel = where the rate lies among the limits of chance around the shop's rate: inside
--         95 %, look (95 to 99.8 %), different. It is the adjusted rate that is judged, but for
--         appliances and complaints, which are the case mix itself, the rate as counted.
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

shop AS (
    SELECT sum(shop_fixed) / nullif(sum(shop_mature), 0) AS shop_rate, FROM strata
),

groups AS (
    SELECT
        jobs.group_name,
        count(*) AS repaired,
        count(*) FILTER (WHERE is_known AND NOT is_old_enough) AS pending,
        count(*) FILTER (WHERE is_known AND is_old_enough) AS mature,
        count(*) FILTER (WHERE attended_visits = 1) AS one_visit,
        count(*) FILTER (WHERE is_known AND is_old_enough AND is_fixed) AS fixed_first_time,
        sum(strata.shop_fixed / nullif(strata.shop_mature, 0)) FILTER (
            WHERE is_known AND is_old_enough
        ) AS expected,
        count(*) FILTER (WHERE NOT is_known) AS left_out,
        count(*) FILTER (WHERE NOT is_counted) AS unlinked,
        count(*) FILTER (WHERE attended_visits IS NULL) AS visits_unknown,
    FROM jobs
    LEFT JOIN strata
        ON jobs.appliance_kind = strata.appliance_kind AND jobs.symptom = strata.symptom
    GROUP BY jobs.group_name
)

SELECT
    group_name AS "group",
    repaired,
    pending,
    mature,
    one_visit,
    fixed_first_time,
    fixed_first_time / nullif(mature, 0) AS rate,
    core.wilson_low(fixed_first_time, mature) AS low,
    core.wilson_high(fixed_first_time, mature) AS high,
    expected,
    left_out,
    unlinked,
    visits_unknown,
    shop.shop_rate,
    coalesce($group_by NOT IN ('appliance_kind', 'symptom'), TRUE) AS is_mix_apart,
FROM groups
CROSS JOIN shop
ORDER BY group_name;
