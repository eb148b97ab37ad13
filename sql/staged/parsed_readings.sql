-- Reading rows with the value as parsed; `problems` lists code@field, '' when the row can be used.
-- grain: as staged.readings.
-- counts: the value of a row that has another problem is not judged: its test point may be unknown.
-- unit: base_value in the base unit of its quantity (sql/lookups/units.csv).
CREATE VIEW staged.parsed_readings AS
SELECT
    readings.*,
    parsed.outcome,
    parsed.base_value,
    parsed.base_unit,
    parsed.is_open,
    parsed.is_closed,
    parsed.comparator,
    parsed.flags,
    CASE
        WHEN readings.row_problems <> '' THEN readings.row_problems
        ELSE coalesce(parsed.problem || '@value', '')
    END AS problems,
FROM staged.readings AS readings
LEFT JOIN staged.reading_texts AS texts
    ON readings.text_key = texts.text_key AND readings.value IS NOT NULL
LEFT JOIN staged.parsed_values AS parsed ON texts.text_id = parsed.text_id;
