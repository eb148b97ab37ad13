-- Which row of the shop's own limits applies to each reading; they go before the register's.
-- grain: one row per reading to which an own row applies.
-- counts: the most specific row valid on the day of the reading: model, brand and kind, kind, any;
--         one that asks for what is known before one that asks for nothing; the latest period.
CREATE TABLE staged.own_limits AS
SELECT
    readings.row_id,
    readings.item_no,
    limits.limits_id,
FROM staged.reading_values AS readings
INNER JOIN core.limits AS limits
    ON limits.is_own
    AND readings.test_point = limits.test_point
    AND (limits.kind IS NULL OR limits.kind = readings.appliance_kind)
    AND (limits.brand IS NULL OR limits.brand = core.folded(readings.brand))
    AND (limits.model IS NULL OR limits.model = core.folded(readings.model))
    AND (limits.valid_from IS NULL OR limits.valid_from <= readings.read_on)
    AND (limits.valid_to IS NULL OR limits.valid_to >= readings.read_on)
    AND core.limits_fit(
        limits.is_default,
        limits.service_volts,
        limits.needs_ambient,
        readings.service_volts,
        readings.ambient_cel
    )
QUALIFY row_number() OVER (
    PARTITION BY readings.row_id, readings.item_no
    ORDER BY
        limits.specificity DESC,
        limits.needs_ambient IS NOT NULL DESC,
        limits.is_default DESC,
        limits.valid_from DESC NULLS LAST,
        limits.limits_id
) = 1;
