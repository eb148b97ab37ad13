-- Job rows, named and typed; `problems` lists code@field, '' when the row can be used.
-- grain: one row per source row, copies and old versions included.
-- unit: minutes, money in the shop's currency.
CREATE TABLE staged.jobs AS
WITH typed AS (
    SELECT
        jobs.*,
        sources.mapping,
        sources.own_kinds,
        sources.landed_on,
        sources.date_order,
        coalesce(jobs.currency, sources.currency) AS money_currency,
        core.parsed_date(jobs.opened_on, sources.date_order, sources.date_system) AS opened_date,
        core.parsed_date(jobs.closed_on, sources.date_order, sources.date_system) AS closed_date,
        core.parsed_money(jobs.charged, sources.decimal_sign) AS charged_money,
        core.parsed_money(jobs.parts_charged, sources.decimal_sign) AS parts_money,
        core.parsed_money(jobs.labour_charged, sources.decimal_sign) AS labour_money,
        core.parsed_minutes(jobs.minutes_on_job, sources.decimal_sign) AS job_min,
        core.parsed_minutes(jobs.travel_minutes, sources.decimal_sign) AS travel_min,
        core.parsed_count(jobs.visit_count) AS visits,
        core.parsed_count(jobs.built_year) AS year_built,
    FROM raw.jobs AS jobs
    INNER JOIN staged.sources AS sources ON jobs.source_id = sources.source_id
),

named AS (
    SELECT
        typed.*,
        fuel_text.word AS fuel_word,
        coalesce(
            own_kind.id,
            kind.id,
            kind_meaning.id,
            CASE WHEN typed.own_kinds THEN replace(kind_text.word, ' ', '_') END
        ) AS kind_word,
        coalesce(
            own_disposition.id, disposition_word.id, disposition_meaning.id
        ) AS disposition_id,
    FROM typed
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
)

SELECT
    row_id,
    source_id,
    row_no,
    mapping,
    job_id,
    opened_date AS opened_on,
    CASE WHEN length(opened_on) > 10 THEN coalesce(core.minute_of_day(opened_on), 0) ELSE 0 END
        AS opened_minute,
    CASE WHEN disposition_id <> 'open' THEN closed_date END AS closed_on,
    branch,
    technician,
    coalesce(
        serial,
        CASE WHEN customer IS NOT NULL
            THEN md5(concat_ws('|', customer, core.folded(kind_word), core.folded(brand), core.folded(model)))
        END
    ) AS unit_key,
    CASE
        WHEN kind_word = 'dryer' AND fuel_word IN ('gas', 'natural gas', 'ng', 'lp', 'propane')
        THEN 'dryer_gas'
        WHEN kind_word = 'dryer' AND fuel_word IN ('electric', 'elec', 'e') THEN 'dryer_electric'
        WHEN kind_word = 'range' AND fuel_word IN ('gas', 'natural gas', 'ng', 'lp', 'propane')
        THEN 'range_gas'
        WHEN kind_word = 'range' AND fuel_word IN ('electric', 'elec', 'e') THEN 'range_electric'
        ELSE kind_word
    END AS appliance_kind,
    brand,
    model,
    CASE WHEN year_built BETWEEN 1930 AND year(landed_on) THEN year_built END AS built_year,
    symptom,
    root_cause,
    repair_code,
    disposition_id AS disposition,
    callback_of,
    visits AS visit_count,
    job_min,
    travel_min,
    charged_money AS charged,
    parts_money AS parts_charged,
    labour_money AS labour_charged,
    money_currency AS currency,
    mends,
    trim(concat_ws(
        ' ',
        CASE WHEN job_id IS NULL THEN 'missing@job_id' END,
        CASE
            WHEN opened_on IS NULL THEN 'missing@opened_on'
            WHEN core.date_problem(opened_on, date_order, opened_date, landed_on) <> ''
            THEN core.date_problem(opened_on, date_order, opened_date, landed_on) || '@opened_on'
        END,
        CASE
            WHEN closed_on IS NULL AND disposition_id <> 'open' THEN 'missing@closed_on'
            WHEN core.date_problem(closed_on, date_order, closed_date, landed_on) <> ''
            THEN core.date_problem(closed_on, date_order, closed_date, landed_on) || '@closed_on'
            WHEN closed_date < opened_date THEN 'closed_before_opened@closed_on'
        END,
        CASE
            WHEN appliance_kind IS NULL THEN 'missing@appliance_kind'
            WHEN kind_word IS NULL THEN 'unknown_word@appliance_kind'
        END,
        CASE
            WHEN disposition IS NULL THEN 'missing@disposition'
            WHEN disposition_id IS NULL THEN 'unknown_word@disposition'
        END,
        CASE WHEN charged IS NOT NULL AND charged_money IS NULL
            THEN 'number_not_understood@charged' END,
        CASE WHEN parts_charged IS NOT NULL AND parts_money IS NULL
            THEN 'number_not_understood@parts_charged' END,
        CASE WHEN labour_charged IS NOT NULL AND labour_money IS NULL
            THEN 'number_not_understood@labour_charged' END,
        CASE
            WHEN minutes_on_job IS NOT NULL AND job_min IS NULL
            THEN 'number_not_understood@minutes_on_job'
            WHEN job_min < 0 OR job_min > 1440 * coalesce(visits, 1)
            THEN 'minutes_not_possible@minutes_on_job'
        END,
        CASE
            WHEN travel_minutes IS NOT NULL AND travel_min IS NULL
            THEN 'number_not_understood@travel_minutes'
            WHEN travel_min < 0 OR travel_min > 1440 * coalesce(visits, 1)
            THEN 'minutes_not_possible@travel_minutes'
        END,
        CASE WHEN visit_count IS NOT NULL AND visits IS NULL
            THEN 'whole_number_wanted@visit_count' END
    )) AS problems,
    CASE WHEN built_year IS NOT NULL
        AND NOT coalesce(year_built BETWEEN 1930 AND year(landed_on), FALSE)
        THEN 'year_not_possible@built_year' ELSE '' END AS remarks,
    hash(
        mapping, job_id, opened_on, closed_on,
        branch, technician, customer,
        appliance_kind, fuel, brand,
        model, serial, built_year,
        symptom, root_cause, repair_code,
        disposition, callback_of,
        visit_count, minutes_on_job,
        travel_minutes, charged,
        parts_charged, labour_charged,
        currency
    ) AS content_hash,
FROM named;
