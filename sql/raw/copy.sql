-- The raw rows of the last version (attached as old), into the new one.
INSERT INTO raw.loads BY NAME SELECT * FROM old.raw.loads;
INSERT INTO raw.mappings BY NAME SELECT * FROM old.raw.mappings;
INSERT INTO raw.words BY NAME SELECT * FROM old.raw.words;
INSERT INTO raw.accepted_words BY NAME SELECT * FROM old.raw.accepted_words;
INSERT INTO raw.sources BY NAME SELECT * FROM old.raw.sources;
INSERT INTO raw.bad_rows BY NAME SELECT * FROM old.raw.bad_rows;
INSERT INTO raw.jobs BY NAME SELECT * FROM old.raw.jobs;
INSERT INTO raw.visits BY NAME SELECT * FROM old.raw.visits;
INSERT INTO raw.readings BY NAME SELECT * FROM old.raw.readings;
INSERT INTO raw.part_lines BY NAME SELECT * FROM old.raw.part_lines;
