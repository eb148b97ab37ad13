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

lacking AS (
    SELECT
        fields.group_name,
        fields.job_id,
        fields.field,
        fields.is_missing,
        needs.answer,
        count(CASE WHEN fields.is_missing THEN 1 END) OVER (
            PARTITION BY fields.group_name, fields.job_id, needs.answer
        ) AS missing_fields,
    FROM fields
    INNER JOIN needs ON fields.field = needs.field
)

SELECT
    group_name AS "group",
    field,
    answer,
    count(*) AS asked,
    count(*) FILTER (WHERE is_missing) AS missing,
    count(*) FILTER (WHERE is_missing) / nullif(count(*), 0) AS rate,
    core.wilson_low(count(*) FILTER (WHERE is_missing), count(*)) AS low,
    core.wilson_high(count(*) FILTER (WHERE is_missing), count(*)) AS high,
    count(*) FILTER (WHERE is_missing) AS lost,
    count(*) FILTER (WHERE is_missing AND missing_fields = 1) AS freed,
FROM lacking
GROUP BY group_name, field, answer
ORDER BY group_name, field, answer;
