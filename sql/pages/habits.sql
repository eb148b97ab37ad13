-- What each habit costs: wrong diagnoses with and without it, over the same kinds and complaints.
-- grain: one row per habit: not_tested, against, missed, several.
-- unit: jobs; ratio = Mantel–Haenszel risk ratio with 95 % limits; rates are fractions.
-- counts: jobs whose diagnosis is judged and of which the records can say the habit. ratio, low and high
--         are NULL where no complaint has both kinds of jobs or no job without the habit was wrong.
--         rate_without = rate_with / ratio: what the same jobs would show without the habit.
-- source: Greenland and Robins (1985), Biometrics 41:55–68: Mantel–Haenszel risk ratio and its variance.
WITH jobs AS (
    SELECT *,
    FROM core.patterns_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, NULL, $window_days,
        NULL
    )
    WHERE is_wrong IS NOT NULL
),

asked AS (
    SELECT 'not_tested' AS habit, appliance_kind, symptom, is_not_tested AS has_habit, is_wrong,
    FROM jobs
    UNION ALL
    SELECT 'against', appliance_kind, symptom, is_against, is_wrong FROM jobs
    UNION ALL
    SELECT 'missed', appliance_kind, symptom, is_missed, is_wrong FROM jobs
    UNION ALL
    SELECT 'several', appliance_kind, symptom, is_several, is_wrong FROM jobs
),

strata AS (
    SELECT
        habit,
        count(*) FILTER (WHERE has_habit)::DOUBLE AS n_with,
        count(*) FILTER (WHERE has_habit AND is_wrong)::DOUBLE AS wrong_with,
        count(*) FILTER (WHERE NOT has_habit)::DOUBLE AS n_without,
        count(*) FILTER (WHERE NOT has_habit AND is_wrong)::DOUBLE AS wrong_without,
        count(*)::DOUBLE AS n,
    FROM asked
    WHERE has_habit IS NOT NULL
    GROUP BY habit, appliance_kind, symptom
),

sums AS (
    SELECT
        habit,
        sum(n_with) AS n_with,
        sum(wrong_with) AS wrong_with,
        sum(n_without) AS n_without,
        sum(wrong_without) AS wrong_without,
        sum(wrong_with * n_without / nullif(n, 0)) AS above,
        sum(wrong_without * n_with / nullif(n, 0)) AS below,
        sum(
            ((wrong_with + wrong_without) * n_with * n_without - wrong_with * wrong_without * n)
            / nullif(n * n, 0)
        ) AS spread,
    FROM strata
    GROUP BY habit
),

ratios AS (
    SELECT
        *,
        CASE WHEN above > 0 AND below > 0 THEN above / nullif(below, 0) END AS ratio,
        CASE WHEN above > 0 AND below > 0 THEN sqrt(spread / nullif(above * below, 0)) END
            AS log_error,
    FROM sums
)

SELECT
    habit,
    n_with,
    wrong_with,
    n_without,
    wrong_without,
    wrong_with / nullif(n_with, 0) AS rate_with,
    coalesce(
        wrong_with / nullif(n_with, 0) / nullif(ratio, 0),
        wrong_without / nullif(n_without, 0)
    ) AS rate_without,
    ratio,
    ratio * exp(-1.959964 * log_error) AS low,
    ratio * exp(1.959964 * log_error) AS high,
FROM ratios
ORDER BY habit;
