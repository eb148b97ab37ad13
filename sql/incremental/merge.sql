-- Puts the touched jobs, as built with the new rows (after), in the place of what they were (before).
-- counts: rows of one job are replaced; the account and the unknown words change by what the touched
--         jobs count with the new rows less what they counted without them.
DELETE FROM core.visits WHERE job_id IN (SELECT job_id FROM touched.jobs);
INSERT INTO core.visits BY NAME SELECT * FROM after.core.visits;

DELETE FROM core.readings WHERE job_id IN (SELECT job_id FROM touched.jobs);
INSERT INTO core.readings BY NAME SELECT * FROM after.core.readings;

DELETE FROM core.part_lines WHERE job_id IN (SELECT job_id FROM touched.jobs);
INSERT INTO core.part_lines BY NAME SELECT * FROM after.core.part_lines;

DELETE FROM core.taken_readings WHERE job_id IN (SELECT job_id FROM touched.jobs);
INSERT INTO core.taken_readings BY NAME SELECT * FROM after.core.taken_readings;

INSERT INTO core.reading_verdicts BY NAME
SELECT *
FROM after.core.reading_verdicts
WHERE verdict_key NOT IN (SELECT verdict_key FROM core.reading_verdicts);
DELETE FROM core.reading_verdicts
WHERE verdict_key NOT IN (SELECT verdict_key FROM core.taken_readings);

DELETE FROM core.first_tests WHERE job_id IN (SELECT job_id FROM touched.jobs);
INSERT INTO core.first_tests BY NAME SELECT * FROM after.core.first_tests;

DELETE FROM core.part_needs WHERE job_id IN (SELECT job_id FROM touched.jobs);
INSERT INTO core.part_needs BY NAME SELECT * FROM after.core.part_needs;

DELETE FROM core.fitted_parts WHERE job_id IN (SELECT job_id FROM touched.jobs);
INSERT INTO core.fitted_parts BY NAME SELECT * FROM after.core.fitted_parts;

DELETE FROM core.corrections WHERE job_id IN (SELECT job_id FROM touched.jobs);
INSERT INTO core.corrections BY NAME SELECT * FROM after.core.corrections;

DELETE FROM core.missed_readings WHERE job_id IN (SELECT job_id FROM touched.jobs);
INSERT INTO core.missed_readings BY NAME SELECT * FROM after.core.missed_readings;

DELETE FROM core.job_facts WHERE job_id IN (SELECT job_id FROM touched.jobs);
INSERT INTO core.job_facts BY NAME SELECT * FROM after.core.job_facts;

DELETE FROM core.jobs WHERE job_id IN (SELECT job_id FROM touched.jobs);
INSERT INTO core.jobs BY NAME SELECT * FROM after.core.jobs;

DELETE FROM core.callback_links WHERE callback_job IN (SELECT job_id FROM touched.jobs);
INSERT INTO core.callback_links BY NAME SELECT * FROM after.core.callback_links;

DELETE FROM core.problems
WHERE EXISTS (
    SELECT 1
    FROM before.core.problems AS gone
    WHERE gone.table_name = core.problems.table_name
        AND gone.row_id = core.problems.row_id
        AND gone.item_no = core.problems.item_no
);
INSERT INTO core.problems BY NAME SELECT * FROM after.core.problems;

CREATE OR REPLACE TABLE core.accounts AS
WITH counts AS (
    SELECT * FROM core.accounts
    UNION ALL
    SELECT * FROM after.core.accounts
    UNION ALL
    SELECT * REPLACE (
        -loaded AS loaded,
        -duplicate AS duplicate,
        -superseded AS superseded,
        -quarantined AS quarantined
    )
    FROM before.core.accounts
)

SELECT
    source_id,
    load_no,
    file,
    sheet,
    table_name,
    mapping,
    unmapped,
    read,
    sum(loaded)::BIGINT AS loaded,
    sum(duplicate)::BIGINT AS duplicate,
    sum(superseded)::BIGINT AS superseded,
    sum(quarantined)::BIGINT AS quarantined,
FROM counts
GROUP BY ALL
ORDER BY source_id;

CREATE OR REPLACE TABLE core.unknown_words AS
WITH counts AS (
    SELECT * FROM core.unknown_words
    UNION ALL BY NAME
    SELECT * FROM after.core.unknown_words
    UNION ALL BY NAME
    SELECT * REPLACE (-rows AS rows, -jobs_held AS jobs_held) FROM before.core.unknown_words
)

SELECT field, appliance_kind, mapping, text, sum(rows)::BIGINT AS rows,
    sum(jobs_held)::BIGINT AS jobs_held,
FROM counts
GROUP BY ALL
HAVING sum(rows) > 0
ORDER BY field, appliance_kind, mapping, text;

DROP TABLE core.dataset;
CREATE OR REPLACE TABLE core.vocabulary AS SELECT * FROM after.core.vocabulary;
