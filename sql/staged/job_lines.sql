-- Invoice lines: which job each belongs to, what it is, and what it adds.
-- grain: one row per source row of a jobs table whose mapping names a line type.
-- unit: money in the shop's currency; minutes.
-- counts: the first line of a job in its source stands for the job (head_row); a discount or credit
--         subtracts whatever sign it was written with; totals and remarks add nothing. Labor lines
--         add minutes at the job, trip lines minutes of travel. The time of a line is its own column,
--         else its quantity where the unit of the line says hours or minutes, else the quantity of a
--         labor line where the mapping says which of the two it is.
CREATE TABLE staged.job_lines AS
WITH typed AS (
    SELECT
        lines.row_id,
        lines.source_id,
        lines.row_no,
        lines.job_id,
        lines.line_type,
        lines.line_amount,
        lines.line_quantity,
        lines.line_price,
        lines.line_minutes,
        lines.line_unit,
        lines.line_tax,
        lines.line_amount_with_tax,
        sources.labor_quantity_unit,
        coalesce(own_type.id, type_word.id) AS type_id,
        net_text.amount AS net_amount,
        tax_text.amount AS written_tax,
        gross_text.amount AS gross_amount,
        core.parsed_rate(lines.tax_rate, sources.decimal_sign) AS rate,
        core.parsed_quantity(lines.line_quantity, sources.decimal_sign) AS pieces,
        price_text.amount AS price,
        net_text.problem AS net_problem,
        tax_text.problem AS tax_problem,
        gross_text.problem AS gross_problem,
        price_text.problem AS price_problem,
        line_text.minutes AS written_min,
        unit_text.minutes * CASE WHEN lines.line_quantity LIKE '-%' THEN -1 ELSE 1 END AS unit_min,
        quantity_text.minutes AS quantity_min,
    FROM raw.jobs AS lines
    INNER JOIN staged.sources AS sources
        ON lines.source_id = sources.source_id AND sources.has_lines
    LEFT JOIN staged.amount_texts AS net_text
        ON lines.source_id = net_text.source_id AND lines.line_amount = net_text.text
    LEFT JOIN staged.amount_texts AS tax_text
        ON lines.source_id = tax_text.source_id AND lines.line_tax = tax_text.text
    LEFT JOIN staged.amount_texts AS gross_text
        ON lines.source_id = gross_text.source_id AND lines.line_amount_with_tax = gross_text.text
    LEFT JOIN staged.amount_texts AS price_text
        ON lines.source_id = price_text.source_id AND lines.line_price = price_text.text
    LEFT JOIN staged.minute_texts AS line_text
        ON lines.source_id = line_text.source_id
        AND line_text.field = 'line'
        AND lines.line_minutes = line_text.text
    LEFT JOIN staged.minute_texts AS unit_text
        ON lines.source_id = unit_text.source_id
        AND unit_text.field = 'unit'
        AND ltrim(lines.line_quantity, '-') || ' ' || lines.line_unit = unit_text.text
    LEFT JOIN staged.minute_texts AS quantity_text
        ON lines.source_id = quantity_text.source_id
        AND quantity_text.field = 'quantity'
        AND lines.line_quantity = quantity_text.text
    LEFT JOIN staged.words AS type_text ON lines.line_type = type_text.text
    LEFT JOIN core.vocabulary AS own_type
        ON own_type.mapping = sources.mapping
        AND own_type.field = 'line_type'
        AND own_type.word = type_text.word
    LEFT JOIN core.vocabulary AS type_word
        ON type_word.mapping = ''
        AND type_word.field = 'line_type'
        AND type_word.word = type_text.word
),

priced AS (
    SELECT
        typed.*,
        coalesce(
            net_amount,
            CASE WHEN line_amount IS NULL
                THEN core.net_of_tax(gross_amount, written_tax, rate) END,
            CASE WHEN line_amount IS NULL AND (line_quantity IS NULL OR pieces IS NOT NULL)
                THEN core.line_amount(coalesce(pieces, 1), price) END
        ) AS amount,
        line_amount IS NOT NULL OR line_price IS NOT NULL OR line_amount_with_tax IS NOT NULL
            AS has_amount,
        CASE
            WHEN line_minutes IS NOT NULL THEN written_min
            WHEN unit_min IS NOT NULL THEN unit_min
            WHEN type_id = 'labor' AND labor_quantity_unit <> '' THEN quantity_min
        END AS line_min,
    FROM typed
)

SELECT
    row_id,
    source_id,
    row_no,
    CASE
        WHEN job_id IS NULL THEN row_id
        ELSE min(row_id) OVER (PARTITION BY source_id, job_id)
    END AS head_row,
    type_id,
    CASE
        WHEN type_id = 'discount' THEN -abs(amount)
        WHEN type_id NOT IN ('total', 'remark') THEN amount
    END AS amount,
    CASE
        WHEN type_id = 'discount'
        THEN -abs(core.tax_of(amount, written_tax, abs(gross_amount) * sign(amount), rate))
        WHEN type_id NOT IN ('total', 'remark', 'tax')
        THEN core.tax_of(amount, written_tax, gross_amount, rate)
    END AS tax,
    CASE WHEN type_id IN ('labor', 'trip') THEN line_min END AS line_min,
    trim(concat_ws(
        ' ',
        CASE
            WHEN type_id IS NOT NULL THEN NULL
            WHEN line_type IS NOT NULL THEN 'unknown_word@line_type'
            WHEN has_amount THEN 'missing@line_type'
        END,
        CASE
            WHEN type_id IN ('total', 'remark') OR amount IS NOT NULL OR NOT has_amount THEN NULL
            WHEN line_amount IS NOT NULL
            THEN net_problem || '@line_amount'
            WHEN line_amount_with_tax IS NOT NULL
            THEN gross_problem || '@line_amount_with_tax'
            WHEN price IS NULL THEN price_problem || '@line_price'
            ELSE 'quantity_not_possible@line_quantity'
        END,
        CASE WHEN type_id IN ('labor', 'trip') AND line_minutes IS NOT NULL AND line_min IS NULL
            THEN 'number_not_understood@line_minutes' END,
        CASE
            WHEN type_id = 'labor' AND labor_quantity_unit <> '' AND line_quantity IS NOT NULL
                AND line_minutes IS NULL AND line_min IS NULL
            THEN 'number_not_understood@line_quantity'
        END,
        CASE WHEN line_tax IS NOT NULL AND written_tax IS NULL
            THEN tax_problem || '@line_tax' END
    )) AS problems,
FROM priced;
