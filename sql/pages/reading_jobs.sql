-- The readings behind a bar, each with its job and what was decided.
-- grain: one row per reading.
-- unit: value and limits in the test point's unit; p_in and p_out are probabilities.
-- counts: $is_open picks the open ones; else those from $smallest to $largest, all when NULL.
SELECT
    job_id,
    closed_on,
    technician,
    branch,
    appliance_kind,
    symptom,
    written_value,
    value,
    unit,
    zone,
    decision,
    p_in,
    p_out,
    low,
    high,
    limits_id,
    is_condemned,
FROM core.readings_in($from_date, $to_date, $branch, $technician, $appliance_kind, $symptom)
WHERE test_point = $test_point
    AND ($is_open::BOOLEAN IS NULL OR is_open = $is_open::BOOLEAN)
    AND ($is_replaced::BOOLEAN IS NULL OR is_condemned = $is_replaced::BOOLEAN)
    AND ($smallest::DOUBLE IS NULL OR (has_number AND value >= $smallest::DOUBLE))
    AND ($largest::DOUBLE IS NULL OR (has_number AND value <= $largest::DOUBLE))
ORDER BY closed_on DESC, job_id, seq, row_id, item_no;
