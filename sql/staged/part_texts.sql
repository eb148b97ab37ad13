-- The distinct names of parts of each kind (understood in etl/words).
-- grain: one row per field, appliance kind and text.
CREATE TABLE staged.part_texts AS
SELECT DISTINCT
    'component' AS field,
    job_keys.appliance_kind AS kind,
    part_lines.component AS text,
FROM raw.part_lines AS part_lines
INNER JOIN staged.sources AS sources ON part_lines.source_id = sources.source_id
INNER JOIN staged.job_keys AS job_keys
    ON part_lines.job_id = job_keys.job_number AND sources.numbering = job_keys.numbering
WHERE part_lines.component IS NOT NULL AND job_keys.appliance_kind IS NOT NULL;
