-- One trip to the appliance.
-- grain: one row per job number and visit number.
-- unit: minutes.
-- counts: attended unless no one let the technician in or the customer cancelled before arrival. Visits
--         without a number are numbered in the order of arrival, after those that have one.
INSERT INTO core.visits BY NAME
WITH kept AS (
    SELECT visits.*
    FROM staged.visits AS visits
    LEFT JOIN staged.visits_left_out AS left_out ON visits.row_id = left_out.row_id
    WHERE left_out.row_id IS NULL
),

unnumbered AS (
    SELECT
        kept.row_id,
        row_number() OVER (
            PARTITION BY kept.job_id
            ORDER BY coalesce(kept.arrived_at, TIMESTAMP '9999-12-31 00:00:00'), kept.row_id
        ) AS place,
    FROM kept
    WHERE kept.visit_no IS NULL
),

highest AS (
    SELECT job_id, max(visit_no) AS visit_no
    FROM kept
    GROUP BY job_id
    HAVING count(*) > count(visit_no)
)

SELECT
    visits.job_id,
    coalesce(visits.visit_no, coalesce(highest.visit_no, 0) + unnumbered.place)::INTEGER AS visit_no,
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
FROM kept AS visits
LEFT JOIN unnumbered ON visits.row_id = unnumbered.row_id
LEFT JOIN highest ON visits.job_id = highest.job_id
INNER JOIN lookups.visit_outcomes AS outcomes ON visits.outcome = outcomes.outcome;
