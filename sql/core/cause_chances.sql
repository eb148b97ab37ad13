-- How likely each test reads outside limits under each suspect cause.
-- grain: one row per appliance kind, complaint, replaced component, suspect cause and test point.
-- unit: p = probability of an outside reading, kept 0.02 from 0 and 1: no test is infallible.
-- counts: p is the register's for this complaint; else the mean of its other complaints of this kind;
--         else, at a test of the cause's own part of which it says nothing, the register's median for
--         such a test of this quantity; else 0.03, an outside reading of a sound part.
-- source: sql/lookups/cause_test_matrix.csv (judgement of the trade); 0.03 and 0.02 as in
--         dashboard/diagnosis/chains.py.
CREATE TABLE core.cause_chances AS
WITH broad AS (
    SELECT kind, cause, test_point, core.rounded(avg(p_out_of_limits::DOUBLE), 1000000.0) AS p,
    FROM lookups.cause_test_matrix
    GROUP BY kind, cause, test_point
),

known AS (
    SELECT DISTINCT broad.kind, causes.component, broad.test_point,
    FROM broad
    INNER JOIN lookups.causes AS causes
        ON broad.kind = causes.kind AND broad.cause = causes.cause
),

usual AS (
    SELECT points.quantity, quantile_cont(matrix.p_out_of_limits::DOUBLE, 0.5) AS p,
    FROM lookups.cause_test_matrix AS matrix
    INNER JOIN lookups.causes AS causes
        ON matrix.kind = causes.kind AND matrix.cause = causes.cause
    INNER JOIN lookups.test_points AS points
        ON matrix.test_point = points.test_point AND causes.component = points.component
    GROUP BY points.quantity
),

own_tests AS (
    SELECT kinds.kind, points.component, points.test_point, usual.p,
    FROM lookups.test_points AS points
    INNER JOIN lookups.kinds AS kinds
        ON '|' || points.kinds || '|' LIKE '%|' || kinds.kind || '|%'
    INNER JOIN usual ON points.quantity = usual.quantity
    LEFT JOIN known
        ON kinds.kind = known.kind
        AND points.component = known.component
        AND points.test_point = known.test_point
    WHERE known.kind IS NULL AND points.component NOT IN ('none', 'user')
),

tests AS (
    SELECT kind, test_point FROM broad
    UNION
    SELECT kind, test_point FROM own_tests
)

SELECT
    suspects.*,
    tests.test_point,
    greatest(
        0.02,
        least(0.98, coalesce(matrix.p_out_of_limits::DOUBLE, broad.p, own_tests.p, 0.03))
    ) AS p,
FROM core.suspects AS suspects
INNER JOIN tests ON suspects.appliance_kind = tests.kind
LEFT JOIN lookups.cause_test_matrix AS matrix
    ON suspects.appliance_kind = matrix.kind
    AND suspects.symptom = matrix.symptom
    AND suspects.cause = matrix.cause
    AND tests.test_point = matrix.test_point
LEFT JOIN broad
    ON suspects.appliance_kind = broad.kind
    AND suspects.cause = broad.cause
    AND tests.test_point = broad.test_point
LEFT JOIN own_tests
    ON suspects.appliance_kind = own_tests.kind
    AND suspects.cause_component = own_tests.component
    AND tests.test_point = own_tests.test_point;
