-- One complaint on one appliance, opened once and closed once.
-- grain: one row per job number.
-- unit: minutes; money in the shop's currency. opened_minute = minute of the day of opening, 0 where no
--       time is written.
-- counts: the rows that staged.jobs_left_out does not leave out. A complaint that is not understood is
--         `unspecified`. A recorded callback means a job of the same numbering.
INSERT INTO core.jobs BY NAME
WITH named AS (
    SELECT DISTINCT callback_of AS number FROM staged.jobs WHERE callback_of IS NOT NULL
),

earlier_jobs AS (
    SELECT DISTINCT jobs.job_id, jobs.job_number, jobs.numbering,
    FROM staged.jobs AS jobs
    INNER JOIN named ON jobs.job_number = named.number
),

other_jobs AS (
    SELECT DISTINCT jobs.job_id
    FROM staged.jobs AS jobs
    INNER JOIN named ON jobs.job_id = named.number
)

SELECT
    jobs.job_id,
    jobs.row_id,
    jobs.mapping,
    jobs.numbering,
    jobs.job_number,
    jobs.opened_on,
    jobs.opened_minute,
    jobs.closed_on,
    jobs.branch,
    jobs.technician,
    jobs.unit_key,
    jobs.appliance_kind,
    jobs.brand,
    jobs.model,
    jobs.built_year,
    coalesce(symptoms.symptom, 'unspecified') AS symptom,
    coalesce(symptoms.family, 'unspecified') AS symptom_family,
    causes.cause AS root_cause,
    causes.component AS cause_component,
    causes.cause_class,
    coalesce(own_repair.id, repair_word.id) AS repair_code,
    jobs.disposition,
    coalesce(
        earlier.job_id,
        CASE WHEN elsewhere.job_id IS NULL THEN jobs.callback_of
            ELSE jobs.numbering || ' ' || jobs.callback_of END
    ) AS callback_of,
    jobs.visit_count,
    jobs.job_min AS labour_min,
    jobs.travel_min,
    jobs.charged,
    jobs.parts_charged,
    jobs.labour_charged,
    jobs.tax,
    jobs.currency,
FROM staged.jobs AS jobs
LEFT JOIN earlier_jobs AS earlier
    ON jobs.callback_of = earlier.job_number AND jobs.numbering = earlier.numbering
LEFT JOIN other_jobs AS elsewhere
    ON jobs.callback_of = elsewhere.job_id
LEFT JOIN staged.jobs_left_out AS left_out ON jobs.row_id = left_out.row_id
LEFT JOIN staged.symptom_texts AS symptom_texts
    ON symptom_texts.mapping = jobs.mapping
    AND symptom_texts.appliance_kind = jobs.appliance_kind
    AND symptom_texts.text = jobs.symptom
LEFT JOIN lookups.symptoms AS symptoms
    ON symptoms.kind = jobs.appliance_kind AND symptoms.symptom = symptom_texts.symptom
LEFT JOIN staged.words AS cause_text ON jobs.root_cause = cause_text.text
LEFT JOIN core.vocabulary AS own_cause
    ON own_cause.mapping = jobs.mapping
    AND own_cause.field = 'root_cause'
    AND own_cause.word = cause_text.word
LEFT JOIN core.vocabulary AS cause_word
    ON cause_word.mapping = ''
    AND cause_word.field = 'root_cause'
    AND cause_word.kind = jobs.appliance_kind
    AND cause_word.word = cause_text.word
LEFT JOIN staged.job_meanings AS cause_meaning
    ON cause_meaning.field = 'root_cause'
    AND cause_meaning.kind = jobs.appliance_kind
    AND cause_meaning.text = jobs.root_cause
LEFT JOIN lookups.causes AS causes
    ON causes.kind = jobs.appliance_kind
    AND causes.cause = coalesce(own_cause.id, cause_word.id, cause_meaning.id)
LEFT JOIN staged.words AS repair_text ON jobs.repair_code = repair_text.text
LEFT JOIN core.vocabulary AS own_repair
    ON own_repair.mapping = jobs.mapping
    AND own_repair.field = 'repair_code'
    AND own_repair.word = repair_text.word
LEFT JOIN core.vocabulary AS repair_word
    ON repair_word.mapping = ''
    AND repair_word.field = 'repair_code'
    AND repair_word.kind = jobs.appliance_kind
    AND repair_word.word = repair_text.word
WHERE left_out.row_id IS NULL;
