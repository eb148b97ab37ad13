-- What do we not write down, and which answers does that cost?
-- grain: one row per group, field of the form, and answer that needs the field.
-- unit: jobs; rate, low, high are fractions (Wilson 95 %).
-- counts: asked = jobs that should hold the field, missing = those that do not (core.unwritten_in).
--         lost = missing jobs of which the answer cannot be given; freed = those of them that lack
--         nothing else that the answer needs: recording this one field would give the answer.
--         The same job counts once for each answer. A test that nobody made and one that nobody wrote
--         down look alike in the records: both are a missing reading.
WITH fields AS (
    SELECT *,
    FROM core.unwritten_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, $group_by,
        $window_days
    )
),

needs AS (
    SELECT 'first_time_fix' AS answer, 'appliance' AS field
    UNION ALL
    SELECT 'first_time_fix', 'visits'
    UNION ALL
    SELECT 'callbacks', 'appliance'
    UNION ALL
    SELECT 'wrong_diagnosis', 'appliance'
    UNION ALL
    SELECT 'wrong_diagnosis', 'cause'
    UNION ALL
    SELECT 'part_at_fault', 'reading'
    UNION ALL
    SELECT 'part_at_fault', 'part'
    UNION ALL
    SELECT 'root_causes', 'cause'
    UNION ALL
    SELECT 'root_causes', 'complaint'
    UNION ALL
    SELECT 'flat_rate', 'repair'
    UNION ALL
    SELECT 'flat_rate', 'minutes'
    UNION ALL
    SELECT 'flat_rate', 'charge'
    UNION ALL
    SELECT 'return_trips', 'reason'
    UNION ALL
    SELECT 'van_stock', 'part'
    UNION ALL
    SELECT 'van_stock', 'visits'
    UNION ALL
    SELECT 'comparison', 'technician'
    UNION ALL
    SELECT 'comparison', 'complaint'
),

-- jobs that hold and lack the same fields count together: such forms are few. A field is a digit of
-- base 3: 0 = not asked for, 1 = written, 2 = missing.
digits AS (
    SELECT
        field,
        floor(pow(3, row_number() OVER (ORDER BY field) - 1))::BIGINT AS place,
    FROM (SELECT DISTINCT field FROM needs) AS asked_for
),

written AS (
    SELECT
        fields.group_name,
        fields.job_id,
        sum(digits.place * CASE WHEN fields.is_missing THEN 2 ELSE 1 END)::BIGINT AS form,
    FROM fields
    INNER JOIN digits ON fields.field = digits.field
    GROUP BY fields.group_name, fields.job_id
),

forms AS (
    SELECT group_name, form, count(*) AS jobs,
    FROM written
    GROUP BY group_name, form
),

lacking AS (
    SELECT
        forms.group_name,
        forms.jobs,
        needs.field,
        needs.answer,
        forms.form // nullif(digits.place, 0) % 3 = 2 AS is_missing,
        count(CASE WHEN forms.form // nullif(digits.place, 0) % 3 = 2 THEN 1 END) OVER (
            PARTITION BY forms.group_name, forms.form, needs.answer
        ) AS missing_fields,
    FROM forms
    INNER JOIN digits ON forms.form // nullif(digits.place, 0) % 3 > 0
    INNER JOIN needs ON digits.field = needs.field
),

counted AS (
    SELECT
        group_name,
        field,
        answer,
        sum(jobs)::BIGINT AS asked,
        coalesce(sum(jobs) FILTER (WHERE is_missing), 0)::BIGINT AS missing,
        coalesce(sum(jobs) FILTER (WHERE is_missing AND missing_fields = 1), 0)::BIGINT AS freed,
    FROM lacking
    GROUP BY group_name, field, answer
)

SELECT
    group_name AS "group",
    field,
    answer,
    asked,
    missing,
    missing / nullif(asked, 0) AS rate,
    core.wilson_low(missing, asked) AS low,
    core.wilson_high(missing, asked) AS high,
    missing AS lost,
    freed,
FROM counted
ORDER BY group_name, field, answer;
