-- The fuel of appliances whose word does not say it ("dryer", "range"), where other words do.
-- grain: one row per job row whose words point to one fuel; none where they are silent or disagree.
-- source: an element is electric, an igniter or a gas valve is gas: common practice, no source.
CREATE TABLE staged.fuel_hints AS
WITH generals AS (
    SELECT DISTINCT general FROM lookups.general_kinds
),

asked AS (
    SELECT DISTINCT
        jobs.row_id,
        jobs.job_id,
        sources.numbering,
        generals.general AS kind,
        jobs.symptom,
        jobs.root_cause,
        jobs.repair_code,
    FROM raw.jobs AS jobs
    INNER JOIN staged.sources AS sources ON jobs.source_id = sources.source_id
    INNER JOIN staged.words AS kind_text ON jobs.appliance_kind = kind_text.text
    LEFT JOIN staged.name_meanings AS meaning
        ON meaning.field = 'appliance_kind' AND meaning.text = jobs.appliance_kind
    LEFT JOIN core.vocabulary AS kind
        ON kind.field = 'appliance_kind'
        AND kind.mapping IN ('', sources.mapping)
        AND kind.word = kind_text.word
    INNER JOIN generals ON coalesce(kind.id, meaning.id) = generals.general
),

said AS (
    SELECT row_id, kind, symptom AS text FROM asked
    UNION
    SELECT row_id, kind, root_cause FROM asked
    UNION
    SELECT row_id, kind, repair_code FROM asked
    UNION
    SELECT asked.row_id, asked.kind, readings.test_point
    FROM asked
    INNER JOIN raw.readings AS readings ON asked.job_id = readings.job_id
    INNER JOIN staged.sources AS sources
        ON readings.source_id = sources.source_id AND asked.numbering = sources.numbering
    UNION
    SELECT asked.row_id, asked.kind, part_lines.component
    FROM asked
    INNER JOIN raw.part_lines AS part_lines ON asked.job_id = part_lines.job_id
    INNER JOIN staged.sources AS sources
        ON part_lines.source_id = sources.source_id AND asked.numbering = sources.numbering
),

hints AS (
    SELECT DISTINCT said.row_id, fuel_words.fuel,
    FROM said
    INNER JOIN lookups.fuel_words AS fuel_words
        ON said.kind = fuel_words.kind
        AND strpos(' ' || core.folded(said.text) || ' ', ' ' || fuel_words.word || ' ') > 0
)

SELECT row_id, min(fuel) AS fuel
FROM hints
GROUP BY row_id
HAVING count(*) = 1;
