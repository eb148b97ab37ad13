-- How the readings of one job speak for or against each part that it replaced, one after the other.
-- grain: one row per replaced component and test point that counts.
-- unit: p, q = probability of such a reading when the part is at fault, and when another cause is, given
--       the readings above it; the product of p / q over the rows is the part's ratio.
-- counts: as in core.evidence_patterns. counts_as names the test that measures the same thing and says
--         more; then the row has no p and q. is_outside NULL = nothing decides the reading.
-- source: sql/lookups/cause_test_matrix.csv (judgement of the trade), blended with the shop's own causes.
WITH parts AS (
    SELECT job_id, appliance_kind, symptom, component, readings, log_ratio, evidence,
    FROM core.part_evidence
    WHERE job_id = $job_id::VARCHAR
),

items AS (
    SELECT *, unnest(string_split(readings, ' ')) AS item,
    FROM parts
),

verdicts AS (
    SELECT
        items.*,
        chances.test_point,
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

ranked AS (
    SELECT
        *,
        row_number() OVER (
            PARTITION BY component, thing ORDER BY weight_of_evidence DESC, test_point
        ) AS place,
        first_value(test_point) OVER (
            PARTITION BY component, thing ORDER BY weight_of_evidence DESC, test_point
        ) AS telling_test,
    FROM verdicts
    WHERE NOT is_undecided
),

likelihoods AS (
    SELECT
        ranked.component,
        ranked.test_point,
        ranked.is_outside,
        ranked.log_ratio,
        ranked.evidence,
        chances.is_own,
        chances.weight,
        CASE WHEN ranked.is_outside THEN chances.p ELSE 1 - chances.p END AS likelihood,
        coalesce(exp(sum(ln(CASE WHEN ranked.is_outside THEN chances.p ELSE 1 - chances.p END)) OVER (
            PARTITION BY ranked.component, chances.cause, chances.is_own
            ORDER BY ranked.test_point
            ROWS BETWEEN UNBOUNDED PRECEDING AND 1 PRECEDING
        )), 1.0) AS so_far,
    FROM ranked
    INNER JOIN core.cause_chances AS chances
        ON ranked.appliance_kind = chances.appliance_kind
        AND ranked.symptom = chances.symptom
        AND ranked.component = chances.component
        AND ranked.test_point = chances.test_point
    WHERE ranked.place = 1
)

SELECT
    component,
    test_point,
    is_outside,
    sum(CASE WHEN is_own THEN weight * so_far * likelihood ELSE 0 END)
        / nullif(sum(CASE WHEN is_own THEN weight * so_far ELSE 0 END), 0) AS p,
    sum(CASE WHEN is_own THEN 0 ELSE weight * so_far * likelihood END)
        / nullif(sum(CASE WHEN is_own THEN 0 ELSE weight * so_far END), 0) AS q,
    NULL AS counts_as,
    exp(any_value(log_ratio)) AS ratio,
    any_value(evidence) AS evidence,
FROM likelihoods
GROUP BY component, test_point, is_outside
UNION ALL
SELECT component, test_point, is_outside, NULL, NULL, telling_test, exp(log_ratio), evidence,
FROM ranked
WHERE place > 1
UNION ALL
SELECT component, test_point, NULL, 1.0, 1.0, NULL, exp(log_ratio), evidence,
FROM verdicts
WHERE is_undecided
ORDER BY component, test_point;
