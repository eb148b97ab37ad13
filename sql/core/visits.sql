-- One trip to the appliance.
-- grain: one row per job number and visit number.
-- unit: minutes.
-- counts: attended unless nobody let the technician in or the customer cancelled before arrival.
INSERT INTO core.visits BY NAME
SELECT
    visits.job_id,
    visits.visit_no,
    visits.row_id,
    visits.technician,
    visits.arrived_at,
    visits.left_at,
    visits.labour_min,
    visits.is_labour_derived,
    visits.travel_min,
    visits.outcome,
    outcomes.is_attended = 1 AS is_attended,
    outcomes.repeat_reason,
FROM staged.visits AS visits
LEFT JOIN staged.visits_left_out AS left_out ON visits.row_id = left_out.row_id
INNER JOIN lookups.visit_outcomes AS outcomes ON visits.outcome = outcomes.outcome
WHERE left_out.row_id IS NULL;
