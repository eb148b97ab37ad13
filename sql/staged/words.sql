-- Every written text that may be a word, folded once: many rows say the same.
-- grain: one row per distinct text.
CREATE TABLE staged.words AS
WITH texts AS (
    SELECT appliance_kind AS text FROM raw.jobs
    UNION
    SELECT fuel FROM raw.jobs
    UNION
    SELECT disposition FROM raw.jobs
    UNION
    SELECT root_cause FROM raw.jobs
    UNION
    SELECT repair_code FROM raw.jobs
    UNION
    SELECT outcome FROM raw.visits
    UNION
    SELECT test_point FROM raw.readings
    UNION
    SELECT state FROM raw.readings
    UNION
    SELECT meter FROM raw.readings
    UNION
    SELECT component FROM raw.part_lines
    UNION
    SELECT from_van FROM raw.part_lines
    UNION
    SELECT on_hand FROM raw.part_lines
    UNION
    SELECT line_type FROM raw.jobs
)

SELECT text, core.folded(text) AS word FROM texts WHERE text IS NOT NULL;
