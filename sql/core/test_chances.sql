-- How likely each test reads outside limits when a part is at fault, and when it is not.
-- grain: one row per appliance kind, complaint, replaced component and test point.
-- unit: p = probability of an outside reading when the part is at fault, q = when another cause is.
-- counts: causes weighed as in core.suspects. sees = the test can see that this part has failed: p / q
--         at least 5, or p at least 0.8 and twice q. A test that reads outside whatever the cause sees
--         nothing of the part. Summed in whole billionths: no sum depends on the order of its terms.
-- source: bound 5 as in core/evidence_patterns; 0.8 and twice are judgement.
CREATE TABLE core.test_chances AS
WITH whole AS (
    SELECT
        appliance_kind,
        symptom,
        component,
        test_point,
        is_own,
        core.whole(weight, 1000000000.0) AS weight,
        core.whole(weight * p, 1000000000.0) AS weighted_p,
    FROM core.cause_chances
),

chances AS (
    SELECT
        appliance_kind,
        symptom,
        component,
        test_point,
        core.rounded(
            sum(CASE WHEN is_own THEN weighted_p ELSE 0 END)
            / nullif(sum(CASE WHEN is_own THEN weight ELSE 0 END), 0),
            1000000.0
        ) AS p,
        core.rounded(
            sum(CASE WHEN is_own THEN 0 ELSE weighted_p END)
            / nullif(sum(CASE WHEN is_own THEN 0 ELSE weight END), 0),
            1000000.0
        ) AS q,
    FROM whole
    GROUP BY appliance_kind, symptom, component, test_point
)

SELECT *, p >= 5 * q OR (p >= 0.8 AND p >= 2 * q) AS sees,
FROM chances
ORDER BY appliance_kind, symptom, component, test_point;
