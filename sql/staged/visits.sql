-- Visit rows, named and typed; `problems` lists code@field, '' when the row can be used.
-- grain: one row per source row, copies and old versions included.
-- unit: minutes.
-- counts: a source without outcomes has visits of unknown outcome. Rows without a visit number are
--         visits of their own (staged.visit_keys). Minutes that differ from arrival and departure by a factor of 20 or more are a mistaken unit, not a long lunch.
CREATE TABLE staged.visits AS
WITH typed AS (
    SELECT
        visits.*,
        sources.mapping,
        sources.landed_on,
        sources.date_order,
        core.parsed_count(visits.visit_no) AS visit_number,
        core.parsed_timestamp(
            visits.arrived_at, sources.date_order, sources.date_system, sources.time_zone
        ) AS arrived_time,
        core.parsed_timestamp(
            visits.left_at, sources.date_order, sources.date_system, sources.time_zone
        ) AS left_time,
        job_text.minutes AS labour_min,
        travel_text.minutes AS travel_min,
        sources.numbering,
        sources.has_outcomes,
        job_keys.is_loaded,
        job_keys.job_id AS known_job,
    FROM raw.visits AS visits
    INNER JOIN staged.sources AS sources ON visits.source_id = sources.source_id
    LEFT JOIN staged.minute_texts AS job_text
        ON visits.source_id = job_text.source_id
        AND job_text.field = 'job'
        AND visits.minutes_on_job = job_text.text
    LEFT JOIN staged.minute_texts AS travel_text
        ON visits.source_id = travel_text.source_id
        AND travel_text.field = 'travel'
        AND visits.travel_minutes = travel_text.text
    LEFT JOIN staged.job_keys AS job_keys
        ON visits.job_id = job_keys.job_number AND sources.numbering = job_keys.numbering
),

named AS (
    SELECT
        typed.*,
        coalesce(own_outcome.id, outcome_word.id, outcome_meaning.id) AS outcome_id,
        coalesce(same_technician.name, typed.technician) AS technician_name,
    FROM typed
    LEFT JOIN staged.same_names AS same_technician
        ON same_technician.mapping = typed.mapping
        AND same_technician.field = 'technician'
        AND same_technician.text = typed.technician
    LEFT JOIN staged.words AS outcome_text ON typed.outcome = outcome_text.text
    LEFT JOIN core.vocabulary AS own_outcome
        ON own_outcome.mapping = typed.mapping
        AND own_outcome.field = 'outcome'
        AND own_outcome.word = outcome_text.word
    LEFT JOIN core.vocabulary AS outcome_word
        ON outcome_word.mapping = ''
        AND outcome_word.field = 'outcome'
        AND outcome_word.word = outcome_text.word
    LEFT JOIN staged.name_meanings AS outcome_meaning
        ON outcome_meaning.field = 'outcome' AND outcome_meaning.text = typed.outcome
)

SELECT
    row_id,
    source_id,
    row_no,
    coalesce(known_job, numbering || ' ' || job_id) AS job_id,
    visit_number AS visit_no,
    technician_name AS technician,
    arrived_time AS arrived_at,
    left_time AS left_at,
    coalesce(labour_min, date_diff('minute', arrived_time, left_time)::DOUBLE) AS labour_min,
    labour_min IS NULL AND left_time IS NOT NULL AND arrived_time IS NOT NULL AS is_labour_derived,
    travel_min,
    coalesce(outcome_id, 'unknown') AS outcome,
    CASE WHEN outcome_id IS NULL THEN visit_row.outcome END AS unknown_outcome,
    mends,
    trim(concat_ws(
        ' ',
        CASE WHEN job_id IS NULL THEN 'missing@job_id' END,
        CASE WHEN visit_row.visit_no IS NOT NULL AND coalesce(visit_number, 0) < 1
            THEN 'whole_number_wanted@visit_no' END,
        CASE WHEN technician IS NULL THEN 'missing@technician' END,
        CASE WHEN visit_row.outcome IS NULL AND has_outcomes THEN 'missing@outcome' END,
        CASE WHEN core.date_problem(arrived_at, date_order, arrived_time::DATE, landed_on) <> ''
            THEN core.date_problem(arrived_at, date_order, arrived_time::DATE, landed_on) || '@arrived_at' END,
        CASE
            WHEN core.date_problem(left_at, date_order, left_time::DATE, landed_on) <> ''
            THEN core.date_problem(left_at, date_order, left_time::DATE, landed_on) || '@left_at'
            WHEN left_time < arrived_time THEN 'left_before_arrived@left_at'
        END,
        CASE
            WHEN minutes_on_job IS NOT NULL AND visit_row.labour_min IS NULL
            THEN 'number_not_understood@minutes_on_job'
            WHEN visit_row.labour_min < 0 OR visit_row.labour_min > 1440
            THEN 'minutes_not_possible@minutes_on_job'
            WHEN visit_row.labour_min > 0
                AND date_diff('minute', arrived_time, left_time) > 0
                AND greatest(
                    visit_row.labour_min / nullif(date_diff('minute', arrived_time, left_time), 0),
                    date_diff('minute', arrived_time, left_time) / nullif(visit_row.labour_min, 0)
                ) >= 20
            THEN 'minutes_disagree@minutes_on_job'
            WHEN minutes_on_job IS NULL AND date_diff('minute', arrived_time, left_time) > 1440
            THEN 'minutes_not_possible@left_at'
        END,
        CASE
            WHEN travel_minutes IS NOT NULL AND visit_row.travel_min IS NULL
            THEN 'number_not_understood@travel_minutes'
            WHEN visit_row.travel_min < 0 OR visit_row.travel_min > 1440
            THEN 'minutes_not_possible@travel_minutes'
        END,
        CASE
            WHEN is_loaded OR job_id IS NULL THEN NULL
            WHEN known_job IS NULL THEN 'no_such_job@job_id'
            ELSE 'parent_quarantined@job_id'
        END
    )) AS problems,
    hash(
        mapping, job_id, visit_row.visit_no, technician,
        visit_row.arrived_at, visit_row.left_at,
        minutes_on_job, travel_minutes,
        visit_row.outcome
    ) AS content_hash,
FROM named AS visit_row;
