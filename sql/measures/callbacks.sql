-- Of the repairs past the window, how many came back within the window?
-- grain: one row per group.
-- unit: jobs; rates are fractions (Wilson 95 %); km_* = chance of a callback by that day, 95 %.
-- counts: repaired complaints whose unit is known. Closed less than the window ago: pending, not in the
--         rate but in the km_* columns, which use every job for as long as it was followed.
--         unlinked = the unit is unknown, so only a return that the records name can be seen; such
--         known_returns within the window are counted here and in no rate.
-- source: Kaplan–Meier with Greenwood's variance on the log(−log) scale, as callback_curve.
WITH jobs AS (
    SELECT *,
    FROM core.jobs_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, $group_by
    )
    WHERE is_repaired AND is_complaint
),

counts AS (
    SELECT
        group_name,
        count(*) AS repaired,
        count(*) FILTER (WHERE is_counted AND days_since_closed >= $window_days) AS mature,
        count(*) FILTER (
            WHERE is_counted
                AND days_since_closed >= $window_days
                AND callback_days <= $window_days
        ) AS callbacks_in_window,
        count(*) FILTER (WHERE is_counted AND days_since_closed < $window_days) AS pending,
        count(*) FILTER (WHERE NOT is_counted) AS unlinked,
        count(*) FILTER (WHERE NOT is_counted AND callback_days <= $window_days) AS known_returns,
    FROM jobs
    GROUP BY group_name
),

days AS (
    SELECT
        group_name,
        observed_days AS day,
        count(callback_days) AS callbacks,
        count(*) AS seen,
    FROM jobs
    WHERE is_counted
    GROUP BY group_name, observed_days
),

risks AS (
    SELECT
        *,
        sum(seen) OVER (PARTITION BY group_name ORDER BY day DESC) AS at_risk,
    FROM days
),

marks AS (
    SELECT groups.group_name, groups.jobs, marks.mark,
    FROM (SELECT group_name, sum(seen) AS jobs FROM days GROUP BY group_name) AS groups
    CROSS JOIN (SELECT 30 AS mark UNION ALL SELECT 60 UNION ALL SELECT 90) AS marks
),

curves AS (
    SELECT
        marks.group_name,
        marks.mark,
        exp(coalesce(
            sum(CASE WHEN callbacks < at_risk THEN ln(1 - callbacks / nullif(at_risk, 0)) ELSE 0 END), 0
        ))
        * coalesce(min(CASE WHEN callbacks < at_risk THEN 1 ELSE 0 END), 1) AS free,
        sqrt(sum(callbacks / nullif(at_risk * (at_risk - callbacks), 0))) AS deviation,
    FROM marks
    LEFT JOIN risks ON marks.group_name = risks.group_name AND risks.day <= marks.mark
    GROUP BY marks.group_name, marks.jobs, marks.mark
    HAVING marks.jobs > coalesce(sum(risks.seen), 0) OR max(risks.day) = marks.mark
),

limits AS (
    SELECT
        group_name,
        mark,
        1 - free AS by_then,
        CASE WHEN free > 0 AND free < 1
            THEN 1 - pow(free, exp(-1.959964 * deviation / nullif(-ln(free), 0))) END AS low,
        CASE WHEN free > 0 AND free < 1
            THEN 1 - pow(free, exp(1.959964 * deviation / nullif(-ln(free), 0))) END AS high,
    FROM curves
),

wide AS (
    SELECT
        group_name,
        max(CASE WHEN mark = 30 THEN by_then END) AS km_30,
        max(CASE WHEN mark = 30 THEN low END) AS km_30_low,
        max(CASE WHEN mark = 30 THEN high END) AS km_30_high,
        max(CASE WHEN mark = 60 THEN by_then END) AS km_60,
        max(CASE WHEN mark = 60 THEN low END) AS km_60_low,
        max(CASE WHEN mark = 60 THEN high END) AS km_60_high,
        max(CASE WHEN mark = 90 THEN by_then END) AS km_90,
        max(CASE WHEN mark = 90 THEN low END) AS km_90_low,
        max(CASE WHEN mark = 90 THEN high END) AS km_90_high,
    FROM limits
    GROUP BY group_name
)

SELECT
    counts.group_name AS "group",
    counts.repaired,
    counts.mature,
    counts.callbacks_in_window,
    counts.callbacks_in_window / nullif(counts.mature, 0) AS rate,
    core.wilson_low(counts.callbacks_in_window, counts.mature) AS low,
    core.wilson_high(counts.callbacks_in_window, counts.mature) AS high,
    wide.* EXCLUDE (group_name),
    counts.pending,
    counts.unlinked,
    counts.known_returns,
FROM counts
LEFT JOIN wide ON counts.group_name = wide.group_name
ORDER BY counts.group_name;
