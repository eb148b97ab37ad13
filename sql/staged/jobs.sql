-- Job rows, named and typed; `problems` lists code@field, '' when the row can be used.
-- grain: one row per source row, copies and old versions included.
-- unit: minutes, money in the shop's currency.
CREATE TABLE staged.jobs AS
WITH rows AS (
    SELECT
        jobs.*,
        NULL::DECIMAL(12, 2) AS line_charged,
        NULL::DECIMAL(12, 2) AS line_parts,
        NULL::DECIMAL(12, 2) AS line_labour,
        NULL::DECIMAL(12, 2) AS summed_tax,
        NULL::DOUBLE AS line_labour_min,
        NULL::DOUBLE AS line_travel_min,
        '' AS line_problems,
    FROM raw.jobs AS jobs
    INNER JOIN staged.sources AS sources
        ON jobs.source_id = sources.source_id AND NOT sources.has_lines
    UNION ALL
    SELECT * FROM staged.jobs_of_lines
),

typed AS (
    SELECT
        jobs.*,
        sources.mapping,
        sources.numbering,
        sources.decimal_sign,
        sources.own_kinds,
        sources.landed_on,
        sources.date_order,
        coalesce(jobs.currency, sources.currency) AS money_currency,
        opened_text.written_date AS opened_date,
        closed_text.written_date AS closed_date,
        opened_text.day_minute,
        opened_text.problem AS opened_problem,
        closed_text.problem AS closed_problem,
        charged_text.amount AS charged_money,
        parts_text.amount AS parts_money,
        labour_text.amount AS labour_money,
        tax_text.amount AS tax_money,
        with_tax_text.amount AS with_tax_money,
        core.parsed_rate(jobs.tax_rate, sources.decimal_sign) AS rate,
        charged_text.problem AS charged_problem,
        parts_text.problem AS parts_problem,
        labour_text.problem AS labour_problem,
        tax_text.problem AS tax_problem,
        with_tax_text.problem AS with_tax_problem,
        job_text.minutes AS job_min,
        travel_text.minutes AS travel_min,
        core.parsed_count(jobs.visit_count) AS visits,
        core.parsed_count(jobs.built_year) AS year_built,
        shared_numbers.number IS NOT NULL AS is_shared,
        hints.fuel AS hinted_fuel,
    FROM rows AS jobs
    INNER JOIN staged.sources AS sources ON jobs.source_id = sources.source_id
    LEFT JOIN staged.date_texts AS opened_text
        ON jobs.source_id = opened_text.source_id AND jobs.opened_on = opened_text.text
    LEFT JOIN staged.date_texts AS closed_text
        ON jobs.source_id = closed_text.source_id AND jobs.closed_on = closed_text.text
    LEFT JOIN staged.amount_texts AS charged_text
        ON jobs.source_id = charged_text.source_id AND jobs.charged = charged_text.text
    LEFT JOIN staged.amount_texts AS parts_text
        ON jobs.source_id = parts_text.source_id AND jobs.parts_charged = parts_text.text
    LEFT JOIN staged.amount_texts AS labour_text
        ON jobs.source_id = labour_text.source_id AND jobs.labour_charged = labour_text.text
    LEFT JOIN staged.amount_texts AS tax_text
        ON jobs.source_id = tax_text.source_id AND jobs.tax = tax_text.text
    LEFT JOIN staged.amount_texts AS with_tax_text
        ON jobs.source_id = with_tax_text.source_id AND jobs.charged_with_tax = with_tax_text.text
    LEFT JOIN staged.minute_texts AS job_text
        ON jobs.source_id = job_text.source_id
        AND job_text.field = 'job'
        AND jobs.minutes_on_job = job_text.text
    LEFT JOIN staged.minute_texts AS travel_text
        ON jobs.source_id = travel_text.source_id
        AND travel_text.field = 'travel'
        AND jobs.travel_minutes = travel_text.text
    LEFT JOIN staged.shared_numbers AS shared_numbers ON jobs.job_id = shared_numbers.number
    LEFT JOIN staged.fuel_hints AS hints ON jobs.row_id = hints.row_id
),

named AS (
    SELECT
        typed.*,
        kind_text.word AS kind_text,
        CASE
            WHEN fuel_text.word IN ('gas', 'natural gas', 'ng', 'lp', 'propane') THEN 'gas'
            WHEN fuel_text.word IN ('electric', 'elec', 'e') THEN 'electric'
            WHEN fuel_text.word IS NULL THEN typed.hinted_fuel
        END AS fuel_said,
        coalesce(
            own_kind.id,
            kind.id,
            kind_meaning.id,
            CASE WHEN typed.own_kinds THEN replace(kind_text.word, ' ', '_') END
        ) AS kind_word,
        coalesce(
            own_disposition.id, disposition_word.id, disposition_meaning.id
        ) AS disposition_id,
        coalesce(same_branch.name, typed.branch) AS branch_name,
        coalesce(same_technician.name, typed.technician) AS technician_name,
        coalesce(same_brand.name, typed.brand) AS brand_name,
        coalesce(same_model.name, typed.model) AS model_name,
    FROM typed
    LEFT JOIN staged.same_names AS same_branch
        ON same_branch.mapping = typed.mapping
        AND same_branch.field = 'branch'
        AND same_branch.text = typed.branch
    LEFT JOIN staged.same_names AS same_technician
        ON same_technician.mapping = typed.mapping
        AND same_technician.field = 'technician'
        AND same_technician.text = typed.technician
    LEFT JOIN staged.same_names AS same_brand
        ON same_brand.mapping = typed.mapping
        AND same_brand.field = 'brand'
        AND same_brand.text = typed.brand
    LEFT JOIN staged.same_names AS same_model
        ON same_model.mapping = typed.mapping
        AND same_model.field = 'model'
        AND same_model.text = typed.model
    LEFT JOIN staged.words AS kind_text ON typed.appliance_kind = kind_text.text
    LEFT JOIN staged.words AS fuel_text ON typed.fuel = fuel_text.text
    LEFT JOIN staged.words AS disposition_text ON typed.disposition = disposition_text.text
    LEFT JOIN core.vocabulary AS own_kind
        ON own_kind.mapping = typed.mapping
        AND own_kind.field = 'appliance_kind'
        AND own_kind.word = kind_text.word
    LEFT JOIN core.vocabulary AS kind
        ON kind.mapping = ''
        AND kind.field = 'appliance_kind'
        AND kind.word = kind_text.word
    LEFT JOIN core.vocabulary AS own_disposition
        ON own_disposition.mapping = typed.mapping
        AND own_disposition.field = 'disposition'
        AND own_disposition.word = disposition_text.word
    LEFT JOIN core.vocabulary AS disposition_word
        ON disposition_word.mapping = ''
        AND disposition_word.field = 'disposition'
        AND disposition_word.word = disposition_text.word
    LEFT JOIN staged.name_meanings AS kind_meaning
        ON kind_meaning.field = 'appliance_kind' AND kind_meaning.text = typed.appliance_kind
    LEFT JOIN staged.name_meanings AS disposition_meaning
        ON disposition_meaning.field = 'disposition'
        AND disposition_meaning.text = typed.disposition
),

kinds AS (
    SELECT general, kind, fuel FROM lookups.general_kinds
),

fueled AS (
    SELECT
        named.*,
        coalesce(by_fuel.kind, named.kind_word, 'other_appliance') AS kind_id,
        coalesce(of_kind.general, named.kind_word, named.kind_text) AS unit_kind,
    FROM named
    LEFT JOIN kinds AS by_fuel
        ON named.kind_word = by_fuel.general AND named.fuel_said = by_fuel.fuel
    LEFT JOIN kinds AS of_kind ON named.kind_word = of_kind.kind
)

SELECT
    row_id,
    source_id,
    row_no,
    mapping,
    numbering,
    job_id AS job_number,
    CASE WHEN is_shared THEN numbering || ' ' || job_id ELSE job_id END AS job_id,
    opened_date AS opened_on,
    coalesce(day_minute, 0) AS opened_minute,
    CASE WHEN disposition_id <> 'open' THEN closed_date END AS closed_on,
    branch_name AS branch,
    technician_name AS technician,
    coalesce(
        serial,
        CASE WHEN customer IS NOT NULL
            THEN md5(concat_ws('|', customer, core.folded(unit_kind), core.folded(brand_name), core.folded(model_name)))
        END
    ) AS unit_key,
    kind_id AS appliance_kind,
    CASE WHEN kind_word IS NULL THEN fueled.appliance_kind END AS unknown_kind,
    brand_name AS brand,
    model_name AS model,
    CASE WHEN year_built BETWEEN 1930 AND year(landed_on) THEN year_built END AS built_year,
    symptom,
    root_cause,
    repair_code,
    disposition_id AS disposition,
    callback_of,
    visits AS visit_count,
    coalesce(job_min, line_labour_min) AS job_min,
    coalesce(travel_min, line_travel_min) AS travel_min,
    coalesce(
        charged_money, line_charged, core.net_of_tax(with_tax_money, tax_money, rate)
    ) AS charged,
    coalesce(parts_money, line_parts) AS parts_charged,
    coalesce(labour_money, line_labour) AS labour_charged,
    coalesce(
        tax_money,
        summed_tax,
        core.tax_of(
            coalesce(charged_money, line_charged, core.net_of_tax(with_tax_money, NULL, rate)),
            NULL,
            with_tax_money,
            rate
        )
    ) AS tax,
    money_currency AS currency,
    mends,
    trim(concat_ws(
        ' ',
        CASE WHEN job_id IS NULL THEN 'missing@job_id' END,
        CASE
            WHEN opened_on IS NULL THEN 'missing@opened_on'
            WHEN opened_problem <> '' THEN opened_problem || '@opened_on'
        END,
        CASE
            WHEN closed_on IS NULL AND disposition_id <> 'open' THEN 'missing@closed_on'
            WHEN closed_problem <> '' THEN closed_problem || '@closed_on'
            WHEN closed_date < opened_date THEN 'closed_before_opened@closed_on'
        END,
        CASE
            WHEN disposition IS NULL THEN 'missing@disposition'
            WHEN disposition_id IS NULL THEN 'unknown_word@disposition'
        END,
        CASE WHEN fueled.charged IS NOT NULL AND charged_money IS NULL
            THEN charged_problem || '@charged' END,
        CASE WHEN fueled.parts_charged IS NOT NULL AND parts_money IS NULL
            THEN parts_problem || '@parts_charged' END,
        CASE WHEN fueled.labour_charged IS NOT NULL AND labour_money IS NULL
            THEN labour_problem || '@labour_charged' END,
        CASE WHEN fueled.tax IS NOT NULL AND tax_money IS NULL
            THEN tax_problem || '@tax' END,
        CASE WHEN charged_with_tax IS NOT NULL AND with_tax_money IS NULL
            THEN with_tax_problem || '@charged_with_tax' END,
        CASE WHEN tax_rate IS NOT NULL AND rate IS NULL
            THEN 'number_not_understood@tax_rate' END,
        CASE
            WHEN minutes_on_job IS NOT NULL AND fueled.job_min IS NULL
            THEN 'number_not_understood@minutes_on_job'
            WHEN coalesce(fueled.job_min, line_labour_min) < 0
                OR coalesce(fueled.job_min, line_labour_min) > 1440 * coalesce(visits, 1)
            THEN 'minutes_not_possible@minutes_on_job'
        END,
        CASE
            WHEN travel_minutes IS NOT NULL AND fueled.travel_min IS NULL
            THEN 'number_not_understood@travel_minutes'
            WHEN coalesce(fueled.travel_min, line_travel_min) < 0
                OR coalesce(fueled.travel_min, line_travel_min) > 1440 * coalesce(visits, 1)
            THEN 'minutes_not_possible@travel_minutes'
        END,
        CASE WHEN visit_count IS NOT NULL AND visits IS NULL
            THEN 'whole_number_wanted@visit_count' END,
        line_problems
    )) AS problems,
    CASE WHEN built_year IS NOT NULL
        AND NOT coalesce(year_built BETWEEN 1930 AND year(landed_on), FALSE)
        THEN 'year_not_possible@built_year' ELSE '' END AS remarks,
    hash(
        mapping, fueled.job_id, opened_on, closed_on,
        branch, technician, customer,
        fueled.appliance_kind, fuel, brand,
        model, serial, built_year,
        symptom, root_cause, repair_code,
        disposition, callback_of,
        visit_count, minutes_on_job,
        travel_minutes, fueled.charged,
        fueled.parts_charged, fueled.labour_charged,
        currency, fueled.tax, charged_with_tax, tax_rate,
        line_charged, line_parts, line_labour, summed_tax,
        line_labour_min, line_travel_min, line_problems
    ) AS content_hash,
FROM fueled;
