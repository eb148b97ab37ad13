-- How long do repairs hold: the share of jobs without a callback, day by day.
-- grain: one row per group and day on which a job came back or was last seen.
-- unit: days since closing, 0 to the horizon of callbacks; free, free_low, free_high are fractions.
-- counts: every repaired complaint whose unit is known, pending ones too; a job without a callback
--         leaves the count on the last day of the records. Callbacks come before leavings of a day.
-- source: Kaplan–Meier (1958); Greenwood's variance on the log(−log) scale, 95 %.
WITH days AS (
    SELECT
        group_name,
        observed_days AS day,
        count(callback_days) AS callbacks,
        count(*) FILTER (WHERE callback_days IS NULL) AS censored,
    FROM core.jobs_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, $group_by
    )
    WHERE is_counted
    GROUP BY group_name, observed_days
),

risks AS (
    SELECT
        *,
        sum(callbacks + censored) OVER (PARTITION BY group_name ORDER BY day DESC) AS at_risk,
    FROM days
),

steps AS (
    SELECT
        *,
        exp(sum(CASE WHEN callbacks < at_risk THEN ln(1 - callbacks / nullif(at_risk, 0)) ELSE 0 END) OVER so_far)
        * min(CASE WHEN callbacks < at_risk THEN 1 ELSE 0 END) OVER so_far AS free,
        sqrt(sum(callbacks / nullif(at_risk * (at_risk - callbacks), 0)) OVER so_far) AS deviation,
    FROM risks
    WINDOW so_far AS (PARTITION BY group_name ORDER BY day)
)

SELECT
    group_name AS "group",
    day,
    at_risk::BIGINT AS at_risk,
    callbacks,
    censored,
    free,
    CASE WHEN free > 0 AND free < 1
        THEN pow(free, exp(1.959964 * deviation / nullif(-ln(free), 0))) END AS free_low,
    CASE WHEN free > 0 AND free < 1
        THEN pow(free, exp(-1.959964 * deviation / nullif(-ln(free), 0))) END AS free_high,
FROM steps
ORDER BY group_name, day;
