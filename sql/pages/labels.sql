-- How ids are written on pages.
-- grain: one row per vocabulary field, kind ('' = any) and id.
-- counts: test_point_of_all distinguishes test points that share a label, by their kind of appliance.
WITH points_of_all AS (
    SELECT
        points.test_point,
        CASE
            WHEN count(*) OVER (PARTITION BY points.label) = 1 THEN points.label
            ELSE points.label || ' (' || split_part(coalesce(general.label, kinds.label), ',', 1) || ')'
        END AS label,
    FROM lookups.test_points AS points
    LEFT JOIN lookups.kinds AS kinds ON kinds.kind = split_part(points.kinds, '|', 1)
    LEFT JOIN lookups.kinds AS general
        ON general.kind = split_part(split_part(points.kinds, '|', 1), '_', 1)
)

SELECT 'appliance_kind' AS field, '' AS kind, kind AS id, label FROM lookups.kinds
UNION ALL
SELECT 'symptom', kind, symptom, label FROM lookups.symptoms
UNION ALL
SELECT 'cause', kind, cause, label FROM lookups.causes
UNION ALL
SELECT 'repair_code', kind, repair, label FROM lookups.repair_codes
UNION ALL
SELECT 'component', '', component, label FROM lookups.components
UNION ALL
SELECT 'test_point', '', test_point, label FROM lookups.test_points
UNION ALL
SELECT 'test_point_of_all', '', test_point, label FROM points_of_all
UNION ALL
SELECT 'disposition', '', disposition, label FROM lookups.dispositions
UNION ALL
SELECT 'outcome', '', outcome, label FROM lookups.visit_outcomes
ORDER BY 1, 2, 3;
