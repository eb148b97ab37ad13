-- What a reading may know about the limits that apply to it: everything by which a row is chosen.
-- grain: one row per loaded reading with a test point.
-- unit: service_volts as the register writes them; nameplate in nameplate_unit.
-- counts: ambient_class says what is known of the temperature: not noted, room (15 to 30 Cel), noted
--         (any other). rating = the unit of the nameplate, volts as V low (up to 130) or V high.
CREATE TABLE staged.reading_cases AS
WITH known AS (
    SELECT
        readings.row_id,
        readings.item_no,
        readings.test_point,
        job_facts.appliance_kind,
        service_volts.service_volts,
        core.ambient_class(readings.ambient_cel) AS ambient_class,
        core.rating_of(readings.nameplate, readings.nameplate_unit) AS rating,
        readings.noted_words,
    FROM core.readings AS readings
    INNER JOIN core.job_facts AS job_facts ON readings.job_id = job_facts.job_id
    INNER JOIN staged.service_volts AS service_volts ON readings.job_id = service_volts.job_id
    WHERE readings.test_point IS NOT NULL
)

SELECT
    known.*,
    hash(
        test_point, appliance_kind, service_volts, ambient_class, coalesce(rating, ''), noted_words
    ) AS case_id,
FROM known;
