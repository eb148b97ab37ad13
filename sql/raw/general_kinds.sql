-- What a kind of unknown fuel shares with all its kinds: complaints, causes, repairs, test points, parts.
-- counts: of an id that every kind of a general one has the row of the first kind is taken over.
INSERT INTO lookups.symptoms BY NAME
SELECT symptoms.* REPLACE (shared.general AS kind)
FROM lookups.symptoms AS symptoms
INNER JOIN (
    SELECT kinds.general, symptoms.symptom, min(symptoms.kind) AS kind
    FROM lookups.general_kinds AS kinds
    INNER JOIN lookups.symptoms AS symptoms ON kinds.kind = symptoms.kind
    GROUP BY kinds.general, symptoms.symptom
    HAVING count(*) > 1
) AS shared ON symptoms.kind = shared.kind AND symptoms.symptom = shared.symptom
WHERE shared.general NOT IN (SELECT kind FROM lookups.symptoms);

INSERT INTO lookups.causes BY NAME
SELECT causes.* REPLACE (shared.general AS kind)
FROM lookups.causes AS causes
INNER JOIN (
    SELECT kinds.general, causes.cause, min(causes.kind) AS kind
    FROM lookups.general_kinds AS kinds
    INNER JOIN lookups.causes AS causes ON kinds.kind = causes.kind
    GROUP BY kinds.general, causes.cause
    HAVING count(*) > 1
) AS shared ON causes.kind = shared.kind AND causes.cause = shared.cause
WHERE shared.general NOT IN (SELECT kind FROM lookups.causes);

INSERT INTO lookups.repair_codes BY NAME
SELECT repair_codes.* REPLACE (shared.general AS kind)
FROM lookups.repair_codes AS repair_codes
INNER JOIN (
    SELECT kinds.general, repair_codes.repair, min(repair_codes.kind) AS kind
    FROM lookups.general_kinds AS kinds
    INNER JOIN lookups.repair_codes AS repair_codes ON kinds.kind = repair_codes.kind
    GROUP BY kinds.general, repair_codes.repair
    HAVING count(*) > 1
) AS shared ON repair_codes.kind = shared.kind AND repair_codes.repair = shared.repair
WHERE shared.general NOT IN (SELECT kind FROM lookups.repair_codes);

CREATE OR REPLACE TABLE lookups.components AS
SELECT components.* REPLACE (concat_ws('|', components.kinds, added.generals) AS kinds),
FROM lookups.components AS components
LEFT JOIN (
    SELECT shared.component, string_agg(shared.general, '|' ORDER BY shared.general) AS generals,
    FROM (
        SELECT components.component, kinds.general,
        FROM lookups.general_kinds AS kinds
        INNER JOIN lookups.components AS components
            ON list_contains(string_split(components.kinds, '|'), kinds.kind)
            AND NOT list_contains(string_split(components.kinds, '|'), kinds.general)
        GROUP BY components.component, kinds.general
        HAVING count(*) > 1
    ) AS shared
    GROUP BY shared.component
) AS added ON components.component = added.component
ORDER BY components.component;

CREATE OR REPLACE TABLE lookups.test_points AS
SELECT test_points.* REPLACE (concat_ws('|', test_points.kinds, added.generals) AS kinds),
FROM lookups.test_points AS test_points
LEFT JOIN (
    SELECT shared.test_point, string_agg(shared.general, '|' ORDER BY shared.general) AS generals,
    FROM (
        SELECT test_points.test_point, kinds.general,
        FROM lookups.general_kinds AS kinds
        INNER JOIN lookups.test_points AS test_points
            ON list_contains(string_split(test_points.kinds, '|'), kinds.kind)
            AND NOT list_contains(string_split(test_points.kinds, '|'), kinds.general)
        GROUP BY test_points.test_point, kinds.general
        HAVING count(*) > 1
    ) AS shared
    GROUP BY shared.test_point
) AS added ON test_points.test_point = added.test_point
ORDER BY test_points.test_point;
