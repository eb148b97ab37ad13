-- What a fault was first taken for, and what it turned out to be.
-- grain: one row per appliance kind, complaint, first component and final component.
-- unit: jobs; share, low, high are fractions of the jobs first diagnosed so (Wilson 95 %).
-- counts: repaired complaints past the window, on a known appliance, with a diagnosis. First = the first
--         part fitted where a later visit of the job corrected it, else the component of the recorded
--         cause (also where the job came back and the first part was right after all). Final = the component of the final cause where the diagnosis was wrong, else the first.
--         Left out: a correction whose first part is not recorded, and a callback within the window that
--         was not repaired or found no cause (nothing is settled). Companions are not mixed up.
--         telling_test = the register's test with a verdict of its own whose chance of reading outside
--         differs most between the two; test_made = on how many of these jobs it was made; NULL where
--         the register has no chain for the complaint, or no test that differs by 0.3 or more.
-- source: sql/lookups/cause_test_matrix.csv (judgement), causes weighed by chain_priors.csv.
WITH followed AS (
    SELECT *,
    FROM core.mix_ups_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, $window_days
    )
),

mistaken AS (
    SELECT job_id, appliance_kind, symptom, first_component, final_component,
    FROM followed
    WHERE first_component <> final_component
),

pairs AS (
    SELECT appliance_kind, symptom, first_component, final_component, count(*) AS jobs,
    FROM followed
    GROUP BY appliance_kind, symptom, first_component, final_component
),

totals AS (
    SELECT
        *,
        sum(jobs) OVER (PARTITION BY appliance_kind, symptom, first_component)::BIGINT AS of_jobs,
    FROM pairs
),

judged_tests AS (
    SELECT DISTINCT test_points.test_point
    FROM lookups.test_points AS test_points
    INNER JOIN core.limits AS limits ON test_points.test_point = limits.test_point
    WHERE test_points.is_proposed = 1 AND limits.limit_basis <> 'no_number'
),

chances AS (
    SELECT
        matrix.kind AS appliance_kind,
        matrix.symptom,
        causes.component,
        matrix.test_point,
        core.rounded(
            sum(matrix.p_out_of_limits * (coalesce(priors.weight, 0) + 0.001))
            / nullif(sum(coalesce(priors.weight, 0) + 0.001), 0),
            1000000.0
        ) AS p,
    FROM lookups.cause_test_matrix AS matrix
    INNER JOIN judged_tests ON matrix.test_point = judged_tests.test_point
    INNER JOIN lookups.causes AS causes
        ON matrix.kind = causes.kind AND matrix.cause = causes.cause
    LEFT JOIN lookups.chain_priors AS priors
        ON matrix.kind = priors.kind
        AND matrix.symptom = priors.symptom
        AND matrix.cause = priors.cause
    GROUP BY matrix.kind, matrix.symptom, causes.component, matrix.test_point
),

telling AS (
    SELECT
        pairs.appliance_kind,
        pairs.symptom,
        pairs.first_component,
        pairs.final_component,
        first_row.test_point,
        first_row.p AS outside_if_first,
        final_row.p AS outside_if_final,
    FROM pairs
    INNER JOIN chances AS first_row
        ON pairs.appliance_kind = first_row.appliance_kind
        AND pairs.symptom = first_row.symptom
        AND pairs.first_component = first_row.component
    INNER JOIN chances AS final_row
        ON first_row.appliance_kind = final_row.appliance_kind
        AND first_row.symptom = final_row.symptom
        AND first_row.test_point = final_row.test_point
        AND pairs.final_component = final_row.component
    WHERE pairs.first_component <> pairs.final_component
        AND abs(first_row.p - final_row.p) >= 0.3
    QUALIFY row_number() OVER (
        PARTITION BY
            pairs.appliance_kind, pairs.symptom, pairs.first_component, pairs.final_component
        ORDER BY abs(first_row.p - final_row.p) DESC, first_row.test_point
    ) = 1
),

made AS (
    SELECT
        telling.appliance_kind,
        telling.symptom,
        telling.first_component,
        telling.final_component,
        count(*) AS test_made,
    FROM telling
    INNER JOIN mistaken
        ON telling.appliance_kind = mistaken.appliance_kind
        AND telling.symptom = mistaken.symptom
        AND telling.first_component = mistaken.first_component
        AND telling.final_component = mistaken.final_component
    INNER JOIN core.first_tests AS tests
        ON mistaken.job_id = tests.job_id AND telling.test_point = tests.test_point
    GROUP BY
        telling.appliance_kind, telling.symptom, telling.first_component, telling.final_component
)

SELECT
    totals.first_component,
    totals.final_component,
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
    AND totals.first_component = telling.first_component
    AND totals.final_component = telling.final_component
LEFT JOIN made
    ON totals.appliance_kind = made.appliance_kind
    AND totals.symptom = made.symptom
    AND totals.first_component = made.first_component
    AND totals.final_component = made.final_component
ORDER BY
    totals.appliance_kind, totals.symptom, totals.first_component,
    totals.jobs DESC, totals.final_component;
