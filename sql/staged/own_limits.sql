-- Which row of the shop's own limits applies to each reading; they go before the register's.
-- grain: one row per reading to which an own row applies.
-- counts: the most specific row valid on the day of the reading: model, brand and kind, kind, any;
--         one that asks for what is known before one that asks for nothing; the latest period.
CREATE TABLE staged.own_limits AS
SELECT
    readings.row_id,
    readings.item_no,
    limits.limits_id,
FROM core.readings AS readings
INNER JOIN core.job_facts AS job_facts ON readings.job_id = job_facts.job_id
INNER JOIN staged.reading_cases AS cases
    ON readings.row_id = cases.row_id AND readings.item_no = cases.item_no
LEFT JOIN core.visits AS visits
    ON readings.job_id = visits.job_id AND readings.visit_no = visits.visit_no
INNER JOIN core.limits AS limits
    ON limits.is_own
    AND readings.test_point = limits.test_point
    AND (limits.kind IS NULL OR limits.kind = job_facts.appliance_kind)
    AND (limits.brand IS NULL OR limits.brand = core.folded(job_facts.brand))
    AND (limits.model IS NULL OR limits.model = core.folded(job_facts.model))
    AND (limits.valid_from IS NULL OR limits.valid_from <= core.read_on(
        visits.arrived_at, job_facts.closed_on, job_facts.opened_on
    ))
    AND (limits.valid_to IS NULL OR limits.valid_to >= core.read_on(
        visits.arrived_at, job_facts.closed_on, job_facts.opened_on
    ))
LEFT JOIN staged.noted_types AS typed
    ON cases.noted_words = typed.noted_words AND limits.limits_id = typed.limits_id
WHERE core.limits_fit(
    limits.is_default,
    limits.service_volts,
    limits.needs_ambient,
    limits.kinds,
    limits.type_words,
    limits.needs_nameplate,
    cases.service_volts,
    cases.ambient_class,
    cases.appliance_kind,
    typed.limits_id IS NOT NULL,
    cases.rating
)
QUALIFY row_number() OVER (
    PARTITION BY readings.row_id, readings.item_no
    ORDER BY
        limits.specificity DESC,
        limits.type_words IS NOT NULL DESC,
        limits.needs_nameplate IS NOT NULL DESC,
        limits.needs_ambient IS NOT NULL DESC,
        limits.is_default DESC,
        limits.valid_from DESC NULLS LAST,
        limits.limits_id
) = 1;
