-- The distinct written values, each parsed once (etl/steps.py).
-- grain: one row per value, unit, quantity and habit of writing.
CREATE TABLE staged.reading_texts AS
WITH texts AS (
    SELECT DISTINCT text_key, value, unit, quantity, decimal_sign, fold_case,
    FROM staged.readings
    WHERE value IS NOT NULL
)

SELECT
    row_number() OVER (ORDER BY value, unit, quantity, decimal_sign, fold_case) AS text_id,
    *,
FROM texts;
