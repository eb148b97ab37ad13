-- What a meter (or an eye) said at one test point.
-- grain: one row per reading, in the order taken within its visit.
-- unit: base_value in the base unit of its quantity; minutes; degrees Celsius; nameplate in
--         nameplate_unit (µF, A, W, V).
-- counts: test_point NULL = understood, but where it was measured is not known (unassigned);
--         noted_words = the words for the test point and its state, in which a part's type is noted.
INSERT INTO core.readings BY NAME
SELECT
    readings.row_id,
    readings.item_no,
    readings.job_id,
    readings.visit_no,
    row_number() OVER (
        PARTITION BY readings.job_id
        ORDER BY
            coalesce(readings.visit_no, 1),
            coalesce(readings.seq, 1000000),
            readings.row_id,
            readings.item_no
    )::INTEGER AS seq,
    readings.origin,
    readings.test_point,
    readings.written_point,
    readings.value AS written_value,
    readings.outcome,
    readings.base_value,
    readings.base_unit,
    readings.is_open,
    readings.is_closed,
    readings.comparator,
    readings.flags,
    readings.ambient_cel,
    readings.test_min,
    readings.meter,
    readings.nameplate,
    readings.nameplate_unit,
    readings.noted_words,
FROM staged.parsed_readings AS readings
LEFT JOIN staged.readings_left_out AS left_out
    ON readings.row_id = left_out.row_id AND readings.item_no = left_out.item_no
WHERE left_out.row_id IS NULL;
