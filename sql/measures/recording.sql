-- What do we not write down, and which answers does that cost?
-- grain: one row per group, field of the form, and answer that needs the field.
-- unit: jobs; rate, low, high are fractions (Wilson 95 %).
-- counts: asked = jobs that should hold the field, missing = those that do not (core.unwritten_in).
--         lost = missing jobs of which the answer cannot be given; freed = those of them that lack
--         nothing else that the answer needs: recording this one field would give the answer.
--         The same job counts once for each answer. A test that nobody made and one that nobody wrote
--         down look alike in the records: both are a missing reading. Forms that hold and lack the same
--         fields are counted together first: they are few.
WITH forms AS (
    SELECT
        group_name,
        no_appliance,
        no_visits,
        no_complaint,
        no_cause,
        no_repair,
        no_minutes,
        no_charge,
        no_part,
        no_reading,
        no_reason,
        no_technician,
        count(*) AS jobs,
        row_number() OVER (ORDER BY group_name) AS form,
    FROM core.unwritten_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, $group_by,
        $window_days
    )
    GROUP BY
        group_name, no_appliance, no_visits, no_complaint, no_cause, no_repair, no_minutes, no_charge,
        no_part, no_reading, no_reason, no_technician
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

asked AS (
    SELECT
        forms.group_name,
        forms.form,
        forms.jobs,
        needs.field,
        needs.answer,
        core.is_unwritten(
            needs.field,
            forms.no_appliance,
            forms.no_visits,
            forms.no_complaint,
            forms.no_cause,
            forms.no_repair,
            forms.no_minutes,
            forms.no_charge,
            forms.no_part,
            forms.no_reading,
            forms.no_reason,
            forms.no_technician
        ) AS is_missing,
    FROM forms
    CROSS JOIN needs
),

lacking AS (
    SELECT
        *,
        count(CASE WHEN is_missing THEN 1 END) OVER (PARTITION BY form, answer) AS missing_fields,
    FROM asked
    WHERE is_missing IS NOT NULL
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
