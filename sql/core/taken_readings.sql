-- Every reading at a known test point: where, when and by whom it was taken, and what it asks.
-- grain: one row per loaded reading with a test point; its verdict is in core.reading_verdicts.
-- counts: is_new_part: read on a later visit than the one that fitted the part.
CREATE TABLE core.taken_readings AS
WITH replaced AS (
    SELECT job_id, component, min(coalesce(visit_no, 1)) AS visit_no,
    FROM core.part_lines
    WHERE component IS NOT NULL
    GROUP BY job_id, component
)

SELECT
    readings.row_id,
    readings.item_no,
    readings.job_id,
    readings.visit_no,
    readings.seq,
    readings.written_value,
    readings.test_min,
    readings.meter,
    cases.service_volts,
    coalesce(visits.technician, job_facts.technician) AS technician,
    core.read_on(visits.arrived_at, job_facts.closed_on, job_facts.opened_on) AS read_on,
    job_facts.closed_on,
    job_facts.closed_month,
    job_facts.branch,
    job_facts.appliance_kind,
    job_facts.brand,
    job_facts.model,
    job_facts.symptom,
    job_facts.final_component,
    replaced.component IS NOT NULL AS is_replaced,
    coalesce(readings.visit_no > replaced.visit_no, FALSE) AS is_new_part,
    keys.verdict_key,
FROM core.readings AS readings
INNER JOIN staged.test_units AS test_units ON readings.test_point = test_units.test_point
INNER JOIN core.job_facts AS job_facts ON readings.job_id = job_facts.job_id
INNER JOIN staged.reading_cases AS cases
    ON readings.row_id = cases.row_id AND readings.item_no = cases.item_no
INNER JOIN staged.reading_keys AS keys
    ON readings.row_id = keys.row_id AND readings.item_no = keys.item_no
LEFT JOIN core.visits AS visits
    ON readings.job_id = visits.job_id AND readings.visit_no = visits.visit_no
LEFT JOIN replaced
    ON readings.job_id = replaced.job_id AND test_units.component = replaced.component;
