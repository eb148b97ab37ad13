-- Reading rows, named; the value is still text, its test point is known where its words say so.
-- grain: one row per reading written in a source, copies and old versions included.
-- unit: minutes; ambient in degrees Celsius; nameplate in nameplate_unit: µF, A, W or V. Without a
--         unit it is in µF or A, where the test point is.
-- counts: a word that fits two test points names none; the state, where noted, is part of the name.
CREATE TABLE staged.readings AS
WITH typed AS (
    SELECT
        readings.*,
        sources.mapping,
        sources.decimal_sign,
        sources.fold_case,
        sources.numbering,
        job_keys.appliance_kind,
        job_keys.is_loaded,
        job_keys.job_id AS known_job,
        core.parsed_count(readings.visit_no) AS visit_number,
        core.parsed_count(readings.seq) AS place,
        regexp_replace(lower(regexp_extract(readings.nameplate, '([A-Za-zµμ]*)[ .]*$', 1)), '[µμ]', 'u', 'g')
            AS nameplate_word,
        point_text.word AS point_word,
        state_text.word AS state_word_text,
        trim(point_text.word || ' ' || state_text.word) AS point_state_word,
        test_text.minutes AS test_min,
        try_cast(core.number_text(
            regexp_extract(readings.ambient, '^(-?[\d.,]+)', 1), sources.decimal_sign
        ) AS DOUBLE) AS ambient_number,
        upper(coalesce(
            nullif(regexp_extract(readings.ambient, '([CFcf])(el|elsius|ahrenheit)?$', 1), ''),
            regexp_extract(readings.ambient_unit, '([CFcf])(el|elsius|ahrenheit)?$', 1)
        )) AS ambient_scale,
    FROM raw.readings AS readings
    INNER JOIN staged.sources AS sources ON readings.source_id = sources.source_id
    LEFT JOIN staged.words AS point_text ON readings.test_point = point_text.text
    LEFT JOIN staged.words AS state_text ON readings.state = state_text.text
    LEFT JOIN staged.minute_texts AS test_text
        ON readings.source_id = test_text.source_id
        AND test_text.field = 'test'
        AND readings.minutes = test_text.text
    LEFT JOIN staged.job_keys AS job_keys
        ON readings.job_id = job_keys.job_number AND sources.numbering = job_keys.numbering
),

named AS (
    SELECT
        typed.*,
        coalesce(own_word.id, state_word.id, point.id) AS point_id,
    FROM typed
    LEFT JOIN core.vocabulary AS own_word
        ON own_word.mapping = typed.mapping
        AND own_word.field = 'test_point'
        AND own_word.word = typed.point_word
    LEFT JOIN core.vocabulary AS state_word
        ON state_word.mapping = ''
        AND state_word.field = 'test_point'
        AND state_word.kind = typed.appliance_kind
        AND state_word.word = typed.point_state_word
    LEFT JOIN core.vocabulary AS point
        ON point.mapping = ''
        AND point.field = 'test_point'
        AND point.kind = typed.appliance_kind
        AND point.word = typed.point_word
)

SELECT
    named.row_id,
    named.item_no,
    named.source_id,
    named.row_no,
    named.origin,
    coalesce(named.known_job, named.numbering || ' ' || named.job_id) AS job_id,
    named.visit_number AS visit_no,
    named.place AS seq,
    named.test_point AS written_point,
    test_points.test_point,
    named.value,
    coalesce(named.unit, '') AS unit,
    coalesce(test_points.quantity, '') AS quantity,
    named.decimal_sign,
    named.fold_case,
    CASE named.ambient_scale
        WHEN 'C' THEN named.ambient_number
        WHEN 'F' THEN (named.ambient_number - 32) / 1.8
    END AS ambient_cel,
    named.test_min,
    named.meter,
    try_cast(core.number_text(
        regexp_extract(named.nameplate, '^([\d.,]+)', 1), named.decimal_sign
    ) AS DOUBLE) * CASE WHEN named.nameplate_word = 'kw' THEN 1000 ELSE 1 END AS nameplate,
    CASE
        WHEN named.nameplate_word IN ('w', 'watt', 'watts', 'kw') THEN 'W'
        WHEN named.nameplate_word IN ('v', 'volt', 'volts', 'vac') THEN 'V'
        WHEN named.nameplate_word IN ('a', 'amp', 'amps') THEN 'A'
        WHEN named.nameplate_word IN ('uf', 'mfd', 'mf') THEN 'uF'
        WHEN named.nameplate_word = '' AND test_points.unit_ucum IN ('uF', 'A')
            THEN test_points.unit_ucum
    END AS nameplate_unit,
    trim(coalesce(named.point_word, '') || ' ' || coalesce(named.state_word_text, '')) AS noted_words,
    named.mends,
    trim(concat_ws(
        ' ',
        CASE
            WHEN named.job_id IS NULL THEN 'missing@job_id'
            WHEN named.known_job IS NULL THEN 'no_such_job@job_id'
            WHEN NOT named.is_loaded THEN 'parent_quarantined@job_id'
        END,
        CASE WHEN named.test_point IS NULL THEN 'missing@test_point' END,
        CASE WHEN named.value IS NULL THEN 'missing@value' END,
        CASE WHEN named.visit_no IS NOT NULL
            AND coalesce(named.visit_number, 0) < 1
            THEN 'whole_number_wanted@visit_no' END,
        CASE WHEN named.seq IS NOT NULL AND named.place IS NULL
            THEN 'whole_number_wanted@seq' END
    )) AS row_problems,
    hash(
        named.mapping, named.job_id, named.visit_no,
        named.seq, named.test_point, named.value,
        named.unit, named.state, named.ambient,
        named.ambient_unit, named.minutes, named.meter,
        named.nameplate
    ) AS content_hash,
    hash(
        coalesce(named.known_job, named.numbering || ' ' || named.job_id),
        named.visit_number, named.place,
        CASE WHEN named.place IS NULL THEN named.point_word END
    ) AS row_key,
    hash(
        named.value, coalesce(named.unit, ''), coalesce(test_points.quantity, ''),
        named.decimal_sign, named.fold_case
    ) AS text_key,
FROM named
LEFT JOIN lookups.test_points AS test_points ON named.point_id = test_points.test_point;
