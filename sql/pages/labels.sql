-- How ids are written on pages.
-- grain: one row per vocabulary field, kind ('' = any) and id.
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
SELECT 'disposition', '', disposition, label FROM lookups.dispositions
UNION ALL
SELECT 'outcome', '', outcome, label FROM lookups.visit_outcomes
ORDER BY 1, 2, 3;
