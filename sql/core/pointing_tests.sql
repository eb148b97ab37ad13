-- Tests that speak for a part although they are made elsewhere: 0 V at the pump speaks for the board.
-- grain: one row per appliance kind, complaint, component and test point.
-- counts: register pairs with p(outside | cause) of at least 0.8: below it, an inside reading would
--         not speak against the part. A test is named only where at most two causes of the complaint
--         reach 0.5: one that fits more narrows, it condemns no part.
-- source: sql/lookups/cause_test_matrix.csv; the limits are judgement, the last as in stats/chain.py.
CREATE TABLE core.pointing_tests AS
WITH strong AS (
    SELECT
        matrix.kind AS appliance_kind,
        matrix.symptom,
        matrix.test_point,
        causes.component,
        matrix.p_out_of_limits AS outside,
        count(*) OVER (PARTITION BY matrix.kind, matrix.symptom, matrix.test_point) AS causes,
    FROM lookups.cause_test_matrix AS matrix
    INNER JOIN lookups.causes AS causes
        ON matrix.kind = causes.kind AND matrix.cause = causes.cause
    WHERE matrix.p_out_of_limits >= 0.5
)

SELECT DISTINCT appliance_kind, symptom, component, test_point,
FROM strong
WHERE causes <= 2 AND outside >= 0.8 AND component NOT IN ('none', 'user')
ORDER BY appliance_kind, symptom, component, test_point;
