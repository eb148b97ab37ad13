-- Words that no vocabulary knows, with how many rows say them.
-- grain: one row per field, appliance kind, mapping and written text.
-- counts: rows stay loaded, their field unspecified or empty, until the word gets a meaning; an
--         unknown disposition or line type keeps its row in quarantine. jobs_held: jobs that
--         wait for a meaning of the word.
INSERT INTO core.unknown_words BY NAME
WITH loaded_jobs AS (
    SELECT jobs.*, core_jobs.symptom AS symptom_id, core_jobs.root_cause AS cause_id,
        core_jobs.repair_code AS repair_id,
    FROM staged.jobs AS jobs
    INNER JOIN core.jobs AS core_jobs ON jobs.row_id = core_jobs.row_id
),

unknown_answers AS (
    SELECT written.row_id, written.item_no, written.from_van AS text
    FROM raw.part_lines AS written
    INNER JOIN staged.part_lines AS typed
        ON written.row_id = typed.row_id AND written.item_no = typed.item_no
    WHERE written.from_van IS NOT NULL AND typed.is_from_van IS NULL
    UNION ALL
    SELECT written.row_id, written.item_no, written.on_hand
    FROM raw.part_lines AS written
    INNER JOIN staged.part_lines AS typed
        ON written.row_id = typed.row_id AND written.item_no = typed.item_no
    WHERE written.on_hand IS NOT NULL AND typed.is_on_hand IS NULL
),

words AS (
    SELECT 'symptom' AS field, appliance_kind, mapping, symptom AS text, NULL AS held_job
    FROM loaded_jobs
    INNER JOIN (SELECT DISTINCT kind FROM lookups.kinds) AS kinds
        ON loaded_jobs.appliance_kind = kinds.kind AND kinds.kind <> 'other_appliance'
    WHERE symptom IS NOT NULL
        AND symptom_id = 'unspecified'
        AND core.folded(symptom) <> 'unspecified'
    UNION ALL
    SELECT 'appliance_kind', '', mapping, unknown_kind, NULL
    FROM loaded_jobs
    WHERE unknown_kind IS NOT NULL
    UNION ALL
    SELECT problems.field, '', sources.mapping, problems.text,
        problems.source_id::VARCHAR || ' ' || coalesce(written.job_id, problems.row_id::VARCHAR)
    FROM core.problems AS problems
    INNER JOIN raw.sources AS sources ON problems.source_id = sources.source_id
    LEFT JOIN raw.jobs AS written ON problems.row_id = written.row_id
    WHERE problems.code = 'unknown_word' AND problems.table_name = 'jobs'
    UNION ALL
    SELECT 'root_cause', appliance_kind, mapping, root_cause, NULL
    FROM loaded_jobs
    WHERE root_cause IS NOT NULL AND cause_id IS NULL AND appliance_kind <> 'other_appliance'
    UNION ALL
    SELECT 'repair_code', appliance_kind, mapping, repair_code, NULL
    FROM loaded_jobs
    WHERE repair_code IS NOT NULL AND repair_id IS NULL AND appliance_kind <> 'other_appliance'
    UNION ALL
    SELECT 'outcome', '', sources.mapping, visits.unknown_outcome, NULL
    FROM staged.visits AS visits
    INNER JOIN core.visits AS core_visits ON visits.row_id = core_visits.row_id
    INNER JOIN staged.sources AS sources ON visits.source_id = sources.source_id
    WHERE visits.unknown_outcome IS NOT NULL
    UNION ALL
    SELECT 'test_point', jobs.appliance_kind, jobs.mapping, readings.written_point, NULL
    FROM core.readings AS readings
    INNER JOIN core.jobs AS jobs ON readings.job_id = jobs.job_id
    WHERE readings.test_point IS NULL
    UNION ALL
    SELECT 'component', jobs.appliance_kind, jobs.mapping, part_lines.unknown_component, NULL
    FROM staged.part_lines AS part_lines
    INNER JOIN core.part_lines AS core_lines
        ON part_lines.row_id = core_lines.row_id AND part_lines.item_no = core_lines.item_no
    INNER JOIN core.jobs AS jobs ON part_lines.job_id = jobs.job_id
    WHERE part_lines.unknown_component IS NOT NULL
    UNION ALL
    SELECT 'yes_no', '', part_lines.mapping, answers.text, NULL
    FROM staged.part_lines AS part_lines
    INNER JOIN core.part_lines AS core_lines
        ON part_lines.row_id = core_lines.row_id AND part_lines.item_no = core_lines.item_no
    INNER JOIN unknown_answers AS answers
        ON part_lines.row_id = answers.row_id AND part_lines.item_no = answers.item_no
)

SELECT field, appliance_kind, mapping, text, count(*) AS rows, count(DISTINCT held_job) AS jobs_held,
FROM words
GROUP BY field, appliance_kind, mapping, text
ORDER BY field, appliance_kind, mapping, text;
