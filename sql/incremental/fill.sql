-- Some of the raw rows of the new version (attached as whole), for one of the small builds.
-- counts: sources from variable from_source to until_source; of those before first_new only the rows
--         of touched jobs. Rows without a job number belong to no job: only new ones count.
INSERT INTO raw.mappings BY NAME SELECT * FROM whole.raw.mappings;
INSERT INTO raw.words BY NAME SELECT * FROM whole.raw.words;
INSERT INTO raw.accepted_words BY NAME SELECT * FROM whole.raw.accepted_words;

INSERT INTO raw.sources BY NAME
SELECT *
FROM whole.raw.sources
WHERE source_id BETWEEN getvariable('from_source') AND getvariable('until_source');

INSERT INTO raw.bad_rows BY NAME
SELECT *
FROM whole.raw.bad_rows
WHERE source_id BETWEEN getvariable('from_source') AND getvariable('until_source');

INSERT INTO raw.jobs BY NAME
SELECT *
FROM whole.raw.jobs
WHERE source_id BETWEEN getvariable('from_source') AND getvariable('until_source')
    AND (source_id >= getvariable('first_new') OR job_id IN (SELECT job_id FROM touched.jobs));

INSERT INTO raw.visits BY NAME
SELECT *
FROM whole.raw.visits
WHERE source_id BETWEEN getvariable('from_source') AND getvariable('until_source')
    AND (source_id >= getvariable('first_new') OR job_id IN (SELECT job_id FROM touched.jobs));

INSERT INTO raw.readings BY NAME
SELECT *
FROM whole.raw.readings
WHERE source_id BETWEEN getvariable('from_source') AND getvariable('until_source')
    AND (source_id >= getvariable('first_new') OR job_id IN (SELECT job_id FROM touched.jobs));

INSERT INTO raw.part_lines BY NAME
SELECT *
FROM whole.raw.part_lines
WHERE source_id BETWEEN getvariable('from_source') AND getvariable('until_source')
    AND (source_id >= getvariable('first_new') OR job_id IN (SELECT job_id FROM touched.jobs));
