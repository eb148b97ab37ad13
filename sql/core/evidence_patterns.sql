-- What one set of readings says of a replaced part: once for each distinct set.
-- grain: one row per appliance kind, complaint, replaced component and set of readings.
-- unit: log_ratio = natural logarithm, to a thousandth, of the ratio: posterior odds / prior odds that
--       the part was at fault, by Bayes' rule over the causes; log_odds = that of the posterior odds.
-- counts: readings are taken as independent given the cause; undecided ones multiply by 1. Test points that measure one thing count
--         once, by the most telling reading. supported = ratio at least 5; against = at most 0.1;
--         between them: no test = the register knows no test that can see this part fail; not tested =
--         none of those was made; unclear = the rest.
-- source: bounds after Jaeschke, Guyatt and Sackett, JAMA 1994;271:703–707: a likelihood ratio of 5
--         moves the odds moderately, one of 0.1 largely; sql/lookups/test_point_groups.csv (judgement).
CREATE TABLE core.evidence_patterns AS
WITH patterns AS (
    SELECT DISTINCT appliance_kind, symptom, component, readings,
    FROM core.fitted_parts
),

items AS (
    SELECT *, unnest(string_split(readings, ' ')) AS item,
    FROM patterns
),

verdicts AS (
    SELECT
        items.appliance_kind,
        items.symptom,
        items.component,
        items.readings,
        chances.test_point,
        chances.sees,
        ends_with(items.item, '+') AS is_outside,
        ends_with(items.item, '~') AS is_undecided,
        coalesce(point_groups.thing, chances.test_point) AS thing,
        core.weight_of_evidence(ends_with(items.item, '+'), chances.p, chances.q)
            AS weight_of_evidence,
    FROM items
    INNER JOIN core.test_chances AS chances
        ON items.appliance_kind = chances.appliance_kind
        AND items.symptom = chances.symptom
        AND items.component = chances.component
        AND substring(items.item, 1, length(items.item) - 1) = chances.test_point
    LEFT JOIN lookups.test_point_groups AS point_groups ON chances.test_point = point_groups.test_point
),

telling AS (
    SELECT *,
    FROM verdicts
    WHERE NOT is_undecided
    QUALIFY row_number() OVER (
        PARTITION BY appliance_kind, symptom, component, readings, thing
        ORDER BY weight_of_evidence DESC, test_point
    ) = 1
),

likelihoods AS (
    SELECT
        telling.appliance_kind,
        telling.symptom,
        telling.component,
        telling.readings,
        chances.is_own,
        chances.weight,
        exp(sum(ln(CASE WHEN telling.is_outside THEN chances.p ELSE 1 - chances.p END)))
            AS likelihood,
    FROM telling
    INNER JOIN core.cause_chances AS chances
        ON telling.appliance_kind = chances.appliance_kind
        AND telling.symptom = chances.symptom
        AND telling.component = chances.component
        AND telling.test_point = chances.test_point
    GROUP BY
        telling.appliance_kind, telling.symptom, telling.component, telling.readings,
        chances.cause, chances.is_own, chances.weight
),

odds AS (
    SELECT
        appliance_kind,
        symptom,
        component,
        readings,
        sum(CASE WHEN is_own THEN weight * likelihood ELSE 0 END)
            / nullif(sum(CASE WHEN is_own THEN weight ELSE 0 END), 0) AS if_at_fault,
        sum(CASE WHEN is_own THEN 0 ELSE weight * likelihood END)
            / nullif(sum(CASE WHEN is_own THEN 0 ELSE weight END), 0) AS if_not,
    FROM likelihoods
    GROUP BY appliance_kind, symptom, component, readings
),

made AS (
    SELECT
        appliance_kind,
        symptom,
        component,
        readings,
        count(*) AS tests_made,
        count(*) FILTER (WHERE sees) AS seeing_made,
    FROM verdicts
    GROUP BY appliance_kind, symptom, component, readings
),

priors AS (
    SELECT
        appliance_kind,
        symptom,
        component,
        sum(CASE WHEN is_own THEN weight ELSE 0 END)
            / nullif(sum(CASE WHEN is_own THEN 0 ELSE weight END), 0) AS prior_odds,
    FROM core.suspects
    GROUP BY appliance_kind, symptom, component
),

testable AS (
    SELECT appliance_kind, symptom, component, count(*) FILTER (WHERE sees) AS seeing_tests,
    FROM core.test_chances
    GROUP BY appliance_kind, symptom, component
),

judged AS (
    SELECT
        patterns.*,
        core.rounded(coalesce(ln(odds.if_at_fault / nullif(odds.if_not, 0)), 0.0), 1000.0)
            AS log_ratio,
        core.rounded(
            ln(priors.prior_odds * coalesce(odds.if_at_fault / nullif(odds.if_not, 0), 1.0)), 1000.0
        ) AS log_odds,
        coalesce(odds.if_at_fault / nullif(odds.if_not, 0), 1.0) AS ratio,
        coalesce(made.tests_made, 0) AS tests_made,
        coalesce(made.seeing_made, 0) AS seeing_made,
        coalesce(testable.seeing_tests, 0) AS seeing_tests,
    FROM patterns
    LEFT JOIN odds
        ON patterns.appliance_kind = odds.appliance_kind
        AND patterns.symptom = odds.symptom
        AND patterns.component = odds.component
        AND patterns.readings = odds.readings
    LEFT JOIN made
        ON patterns.appliance_kind = made.appliance_kind
        AND patterns.symptom = made.symptom
        AND patterns.component = made.component
        AND patterns.readings = made.readings
    LEFT JOIN priors
        ON patterns.appliance_kind = priors.appliance_kind
        AND patterns.symptom = priors.symptom
        AND patterns.component = priors.component
    LEFT JOIN testable
        ON patterns.appliance_kind = testable.appliance_kind
        AND patterns.symptom = testable.symptom
        AND patterns.component = testable.component
)

SELECT
    judged.* EXCLUDE (ratio),
    CASE
        WHEN ratio >= 5 THEN 'supported'
        WHEN ratio <= 0.1 THEN 'against'
        WHEN seeing_tests = 0 THEN 'no test'
        WHEN seeing_made = 0 THEN 'not tested'
        ELSE 'unclear'
    END AS evidence,
FROM judged
ORDER BY appliance_kind, symptom, component, readings;
