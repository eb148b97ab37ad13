-- The question that each reading puts: the same value at the same test point under the same limits.
-- grain: one row per loaded reading with a test point.
-- counts: readings of one verdict_key have one verdict (core.reading_verdicts); whatever the verdict rests on
--         is in the key. place = row_id and item_no in one number. Readings are many, questions few.
CREATE TABLE staged.reading_keys AS
WITH known AS (
    SELECT
        readings.*,
        coalesce(own_limits.limits_id, register_limits.limits_id) AS limits_id,
        meters.meter AS known_meter,
        windings.run_ohm,
        windings.start_ohm,
        windings.is_overload_open,
    FROM core.readings AS readings
    INNER JOIN staged.test_units AS test_units ON readings.test_point = test_units.test_point
    INNER JOIN staged.reading_cases AS cases
        ON readings.row_id = cases.row_id AND readings.item_no = cases.item_no
    LEFT JOIN staged.own_limits AS own_limits
        ON readings.row_id = own_limits.row_id AND readings.item_no = own_limits.item_no
    LEFT JOIN staged.register_limits AS register_limits ON cases.case_id = register_limits.case_id
    LEFT JOIN staged.words AS meter_text ON readings.meter = meter_text.text
    LEFT JOIN core.meters AS meters
        ON meter_text.word = meters.meter AND test_units.quantity = meters.quantity
    LEFT JOIN staged.windings AS windings
        ON readings.job_id = windings.job_id
        AND coalesce(readings.visit_no, 1) = windings.visit_no
        AND test_units.compressor = windings.compressor
)

SELECT
    row_id,
    item_no,
    row_id * 1000 + item_no AS place,
    limits_id,
    known_meter,
    run_ohm,
    start_ohm,
    is_overload_open,
    hash(
        test_point, base_value, base_unit, is_open, is_closed, outcome, comparator, flags,
        ambient_cel, nameplate, nameplate_unit, limits_id, known_meter,
        run_ohm, start_ohm, is_overload_open
    ) AS verdict_key,
FROM known;
