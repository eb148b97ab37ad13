-- Takes one source (variable source_id) out of the raw tables: the same file is read again.
DELETE FROM raw.jobs WHERE source_id = getvariable('source_id');
DELETE FROM raw.visits WHERE source_id = getvariable('source_id');
DELETE FROM raw.readings WHERE source_id = getvariable('source_id');
DELETE FROM raw.part_lines WHERE source_id = getvariable('source_id');
DELETE FROM raw.bad_rows WHERE source_id = getvariable('source_id');
DELETE FROM raw.sources WHERE source_id = getvariable('source_id');
