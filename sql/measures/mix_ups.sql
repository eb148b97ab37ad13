-- What a fault was first recorded as, and what it turned out to be.
-- grain: one row per appliance kind, complaint, first cause and final cause.
-- unit: jobs; share, low, high are fractions of the jobs first recorded so (Wilson 95 %).
-- counts: repaired complaints older than the window, on a known appliance, with a recorded cause.
--         Held = no callback within the window, or one that found the same component: final = first.
--         Proved wrong = a repaired callback within the window found another component. Left out: a
--         callback within the window that was not repaired or found no cause (nothing is proved).
--         telling_test = the register's test whose chance of reading outside differs most between
--         the two causes; test_made = on how many of these jobs it was made; NULL where the register
--         has no chain for the complaint, or no test that differs by 0.3 or more.
-- source: sql/lookups/cause_test_matrix.csv (judgement) for the telling test.
WITH callbacks AS (
    SELECT job_id, is_repaired, recorded_component,
    FROM core.job_facts
    WHERE callback_of IS NOT NULL
),

followed AS (
    SELECT
        jobs.job_id,
        jobs.appliance_kind,
        jobs.symptom,
        jobs.recorded_cause AS first_cause,
        CASE WHEN jobs.is_proved_wrong THEN jobs.final_cause ELSE jobs.recorded_cause END
            AS final_cause,
        jobs.is_proved_wrong
        OR coalesce(jobs.callback_days > $window_days, TRUE)
        OR coalesce(callbacks.is_repaired AND callbacks.recorded_component = jobs.recorded_component,
            FALSE) AS is_settled,
    FROM core.patterns_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, NULL, $window_days
    ) AS jobs
    LEFT JOIN callbacks ON jobs.callback_job = callbacks.job_id
    WHERE jobs.is_proved_wrong IS NOT NULL
),

mistaken AS (
    SELECT job_id, appliance_kind, symptom, first_cause, final_cause,
    FROM followed
    WHERE is_settled AND first_cause <> final_cause
),

pairs AS (
    SELECT appliance_kind, symptom, first_cause, final_cause, count(*) AS jobs,
    FROM followed
    WHERE is_settled
    GROUP BY appliance_kind, symptom, first_cause, final_cause
),

totals AS (
    SELECT
        *,
        sum(jobs) OVER (PARTITION BY appliance_kind, symptom, first_cause)::BIGINT AS of_jobs,
    FROM pairs
),

telling AS (
    SELECT
        pairs.appliance_kind,
        pairs.symptom,
        pairs.first_cause,
        pairs.final_cause,
        first_row.test_point,
        first_row.p_out_of_limits AS outside_if_first,
        final_row.p_out_of_limits AS outside_if_final,
    FROM pairs
    INNER JOIN lookups.cause_test_matrix AS first_row
        ON pairs.appliance_kind = first_row.kind
        AND pairs.symptom = first_row.symptom
        AND pairs.first_cause = first_row.cause
    INNER JOIN lookups.cause_test_matrix AS final_row
        ON first_row.kind = final_row.kind
        AND first_row.symptom = final_row.symptom
        AND first_row.test_point = final_row.test_point
        AND pairs.final_cause = final_row.cause
    WHERE pairs.first_cause <> pairs.final_cause
        AND abs(first_row.p_out_of_limits - final_row.p_out_of_limits) >= 0.3
        AND first_row.test_point IN (
            SELECT test_points.test_point
            FROM lookups.test_points AS test_points
            INNER JOIN core.limits AS limits ON test_points.test_point = limits.test_point
            WHERE test_points.is_proposed = 1 AND limits.limit_basis <> 'no_number'
        )
    QUALIFY row_number() OVER (
        PARTITION BY pairs.appliance_kind, pairs.symptom, pairs.first_cause, pairs.final_cause
        ORDER BY
            abs(first_row.p_out_of_limits - final_row.p_out_of_limits) DESC,
            first_row.test_point
    ) = 1
),

made AS (
    SELECT
        telling.appliance_kind,
        telling.symptom,
        telling.first_cause,
        telling.final_cause,
        count(*) AS test_made,
    FROM telling
    INNER JOIN mistaken
        ON telling.appliance_kind = mistaken.appliance_kind
        AND telling.symptom = mistaken.symptom
        AND telling.first_cause = mistaken.first_cause
        AND telling.final_cause = mistaken.final_cause
    INNER JOIN core.first_tests AS tests
        ON mistaken.job_id = tests.job_id AND telling.test_point = tests.test_point
    GROUP BY
        telling.appliance_kind, telling.symptom, telling.first_cause, telling.final_cause
)

SELECT
    totals.first_cause,
    totals.final_cause,
    totals.jobs,
    totals.of_jobs,
    totals.jobs / nullif(totals.of_jobs, 0) AS share,
    core.wilson_low(totals.jobs, totals.of_jobs) AS low,
    core.wilson_high(totals.jobs, totals.of_jobs) AS high,
    telling.test_point AS telling_test,
    telling.outside_if_first,
    telling.outside_if_final,
    CASE WHEN telling.test_point IS NOT NULL THEN coalesce(made.test_made, 0) END AS test_made,
    totals.appliance_kind,
    totals.symptom,
FROM totals
LEFT JOIN telling
    ON totals.appliance_kind = telling.appliance_kind
    AND totals.symptom = telling.symptom
    AND totals.first_cause = telling.first_cause
    AND totals.final_cause = telling.final_cause
LEFT JOIN made
    ON totals.appliance_kind = made.appliance_kind
    AND totals.symptom = made.symptom
    AND totals.first_cause = made.first_cause
    AND totals.final_cause = made.final_cause
ORDER BY
    totals.appliance_kind, totals.symptom, totals.first_cause,
    totals.jobs DESC, totals.final_cause;
