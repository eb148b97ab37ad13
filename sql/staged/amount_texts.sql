-- Every written amount of jobs, their lines and part lines, read once: a price list has few prices.
-- grain: one row per source and distinct text.
-- unit: money in the shop's currency.
-- counts: problem = the code of what is wrong with an amount that is not understood.
CREATE TABLE staged.amount_texts AS
WITH texts AS (
    SELECT source_id, charged AS text FROM raw.jobs
    UNION
    SELECT source_id, parts_charged FROM raw.jobs
    UNION
    SELECT source_id, labour_charged FROM raw.jobs
    UNION
    SELECT source_id, tax FROM raw.jobs
    UNION
    SELECT source_id, charged_with_tax FROM raw.jobs
    UNION
    SELECT source_id, line_amount FROM raw.jobs
    UNION
    SELECT source_id, line_price FROM raw.jobs
    UNION
    SELECT source_id, line_tax FROM raw.jobs
    UNION
    SELECT source_id, line_amount_with_tax FROM raw.jobs
    UNION
    SELECT source_id, unit_cost FROM raw.part_lines
    UNION
    SELECT source_id, unit_charge FROM raw.part_lines
),

numbered AS (
    SELECT
        texts.source_id,
        texts.text,
        sources.decimal_sign,
        core.number_text(texts.text, sources.decimal_sign) AS number,
    FROM texts
    INNER JOIN staged.sources AS sources ON texts.source_id = sources.source_id
    WHERE texts.text IS NOT NULL
),

plain AS (
    SELECT *, CASE WHEN number IS NULL THEN core.plain_amount(text) END AS plain_text,
    FROM numbered
),

parsed AS (
    SELECT
        source_id,
        text,
        decimal_sign,
        core.amount_of(text, number, plain_text, decimal_sign) AS amount,
    FROM plain
)

SELECT
    source_id,
    text,
    amount,
    CASE WHEN amount IS NULL THEN core.money_problem(text, decimal_sign) END AS problem,
FROM parsed;
