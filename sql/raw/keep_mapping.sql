-- Gives the stored rows of a mapping (variable own_name) a mapping of their own (kept_name).
DELETE FROM raw.mappings WHERE mapping = getvariable('kept_name');
DELETE FROM raw.words WHERE mapping = getvariable('kept_name');
DELETE FROM raw.accepted_words WHERE mapping = getvariable('kept_name');

INSERT INTO raw.mappings BY NAME
SELECT * REPLACE (getvariable('kept_name') AS mapping)
FROM raw.mappings
WHERE mapping = getvariable('own_name');

INSERT INTO raw.words BY NAME
SELECT * REPLACE (getvariable('kept_name') AS mapping)
FROM raw.words
WHERE mapping = getvariable('own_name');

INSERT INTO raw.accepted_words BY NAME
SELECT * REPLACE (getvariable('kept_name') AS mapping)
FROM raw.accepted_words
WHERE mapping = getvariable('own_name');

UPDATE raw.sources
SET mapping = getvariable('kept_name')
WHERE mapping = getvariable('own_name');
