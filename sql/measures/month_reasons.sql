-- Why were more or fewer repairs not fixed first time than usual? The departure, split into parts.
-- grain: one row per month and reason; with $group_by per month and technician, branch, appliance,
--        complaint or main part, and one row is_mix per month. Of $month, or of all months.
-- unit: jobs past the window; excess = not_fixed - expected, may be negative; minutes; money.
-- counts: the jobs of first_time_fix. The excess of the rows of a month adds up to its departure:
--         month_not_fixed - month_jobs × the baseline's share of jobs not fixed. The baseline is that
--         of month_signals: the first $baseline_months months without a pending job, of all records,
--         the month itself left out. Reasons are exclusive (core/fixes_in.sql): expected = month_jobs ×
--         the baseline's share of jobs not fixed for this reason. A technician, appliance or part is
--         compared with its own share in the baseline where that has $min_jobs jobs, else with that
--         of all jobs. is_mix = what is left: the month's work was harder or easier than usual.
--         lost_cost = road of return trips, and work and road of callbacks, at $labour_per_hour.
-- source: split into rates and mix: Kitagawa (1955), J Am Stat Assoc 50:1168.
WITH jobs AS (
    SELECT
        closed_month AS month,
        is_mature,
        is_fixed,
        return_trips,
        coalesce(trip_min, 0) + coalesce(callback_min, 0) AS lost_min,
        CASE $group_by
            WHEN 'technician' THEN coalesce(technician, 'not recorded')
            WHEN 'branch' THEN coalesce(branch, 'not recorded')
            WHEN 'appliance_kind' THEN appliance_kind
            WHEN 'symptom' THEN symptom
            WHEN 'part_no' THEN coalesce(main_part, 'no part')
            ELSE reason
        END AS group_name,
        coalesce($group_by IN ('technician', 'branch', 'appliance_kind', 'symptom', 'part_no'), FALSE)
            AS is_grouped,
    FROM core.fixes_in(
        NULL, NULL, $branch, $technician, $appliance_kind, $symptom, $window_days
    )
),

months AS (
    SELECT
        month,
        bool_or(is_grouped) AS is_grouped,
        count(*) FILTER (WHERE is_mature) AS jobs,
        count(*) FILTER (WHERE is_mature AND NOT is_fixed) AS not_fixed,
        count(*) FILTER (WHERE NOT is_mature) AS pending,
    FROM jobs
    GROUP BY month
),

known AS (
    SELECT
        *,
        row_number() OVER (
            ORDER BY CASE WHEN pending = 0 THEN 0 ELSE 1 END, month
        ) AS place,
        sum(CASE WHEN pending = 0 THEN 1 ELSE 0 END) OVER () AS complete_months,
    FROM months
    WHERE jobs > 0
),

marked AS (
    SELECT
        *,
        complete_months = 0
        OR (pending = 0 AND place <= coalesce($baseline_months, 12)) AS is_baseline,
    FROM known
),

based AS (
    SELECT
        *,
        sum(CASE WHEN is_baseline THEN jobs ELSE 0 END) OVER ()
        - CASE WHEN is_baseline THEN jobs ELSE 0 END AS base_jobs,
        sum(CASE WHEN is_baseline THEN not_fixed ELSE 0 END) OVER ()
        - CASE WHEN is_baseline THEN not_fixed ELSE 0 END AS base_not_fixed,
    FROM marked
),

cells AS (
    SELECT
        jobs.month,
        jobs.group_name,
        any_value(based.is_baseline) AS is_baseline,
        count(*) AS jobs,
        count(*) FILTER (WHERE NOT jobs.is_fixed) AS not_fixed,
        sum(jobs.return_trips) AS return_trips,
        sum(jobs.lost_min) AS lost_min,
    FROM jobs
    INNER JOIN based ON jobs.month = based.month
    WHERE jobs.is_mature AND jobs.group_name IS NOT NULL
    GROUP BY jobs.month, jobs.group_name
),

totals AS (
    SELECT
        group_name,
        sum(CASE WHEN is_baseline THEN jobs ELSE 0 END) AS jobs,
        sum(CASE WHEN is_baseline THEN not_fixed ELSE 0 END) AS not_fixed,
    FROM cells
    GROUP BY group_name
),

pairs AS (
    SELECT
        based.month,
        based.is_grouped,
        based.jobs AS month_jobs,
        based.not_fixed AS month_not_fixed,
        based.base_jobs AS all_base_jobs,
        based.base_not_fixed AS all_base_not_fixed,
        totals.group_name,
        coalesce(cells.jobs, 0) AS cell_jobs,
        coalesce(cells.not_fixed, 0) AS not_fixed,
        coalesce(cells.return_trips, 0) AS return_trips,
        coalesce(cells.lost_min, 0) AS lost_min,
        totals.jobs - CASE WHEN based.is_baseline THEN coalesce(cells.jobs, 0) ELSE 0 END
            AS own_base_jobs,
        totals.not_fixed - CASE WHEN based.is_baseline THEN coalesce(cells.not_fixed, 0) ELSE 0 END
            AS own_base_not_fixed,
    FROM based
    CROSS JOIN totals
    LEFT JOIN cells ON based.month = cells.month AND totals.group_name = cells.group_name
    WHERE ($month::VARCHAR IS NULL OR based.month = $month::VARCHAR)
        AND (cells.jobs > 0 OR NOT based.is_grouped)
),

compared AS (
    SELECT
        *,
        is_grouped AND own_base_jobs >= coalesce($min_jobs, 1) AS is_own,
        CASE WHEN is_grouped THEN cell_jobs ELSE month_jobs END AS jobs,
    FROM pairs
),

expectations AS (
    SELECT
        *,
        CASE
            WHEN NOT is_grouped THEN all_base_jobs
            WHEN is_own THEN own_base_jobs
            ELSE all_base_jobs
        END AS base_jobs,
        CASE
            WHEN NOT is_grouped OR is_own THEN own_base_not_fixed
            ELSE all_base_not_fixed
        END AS base_not_fixed,
    FROM compared
),

groups AS (
    SELECT
        month,
        group_name,
        FALSE AS is_mix,
        is_grouped,
        jobs,
        not_fixed,
        core.rounded(jobs * base_not_fixed / nullif(base_jobs, 0), 1e8) AS expected,
        base_jobs,
        base_not_fixed,
        month_jobs,
        month_not_fixed,
        month_jobs * all_base_not_fixed / nullif(all_base_jobs, 0) AS month_expected,
        return_trips,
        lost_min,
    FROM expectations
),

mixes AS (
    SELECT
        month,
        'mix of work' AS group_name,
        TRUE AS is_mix,
        TRUE AS is_grouped,
        NULL::BIGINT AS jobs,
        0 AS not_fixed,
        any_value(month_expected) - sum(core.whole(expected, 1e8)) / 1e8 AS expected,
        NULL::BIGINT AS base_jobs,
        NULL::BIGINT AS base_not_fixed,
        any_value(month_jobs) AS month_jobs,
        any_value(month_not_fixed) AS month_not_fixed,
        any_value(month_expected) AS month_expected,
        0 AS return_trips,
        0 AS lost_min,
    FROM groups
    WHERE is_grouped
    GROUP BY month
),

all_rows AS (
    SELECT * FROM groups
    UNION ALL
    SELECT * FROM mixes
)

SELECT
    month,
    group_name AS "group",
    is_mix,
    is_grouped,
    jobs,
    not_fixed,
    expected,
    not_fixed - expected AS excess,
    base_jobs,
    base_not_fixed,
    month_jobs,
    month_not_fixed,
    month_expected,
    return_trips,
    lost_min,
    lost_min / 60 * $labour_per_hour::DOUBLE AS lost_cost,
FROM all_rows
ORDER BY month, is_mix, "group";
