-- The jobs of sources of invoice lines, put together from their lines.
-- grain: one row per job of such a source, under its first line; columns as raw.jobs, then the sums.
-- unit: line_… are sums over the lines, money in the shop's currency and minutes.
-- counts: a field that stands on every line counts once, as first written; the closing day is that of
--         the last line. charged is without tax, which is kept apart: the lines of tax where a job has
--         any, else the tax of its lines. Lines with a problem make their
--         whole job wait: a sum without them would be wrong.
CREATE TABLE staged.jobs_of_lines AS
WITH sums AS (
    SELECT
        head_row,
        sum(CASE WHEN type_id <> 'tax' THEN amount END)::DECIMAL(12, 2) AS line_charged,
        sum(CASE WHEN type_id = 'part' THEN amount END)::DECIMAL(12, 2) AS line_parts,
        sum(CASE WHEN type_id = 'labor' THEN amount END)::DECIMAL(12, 2) AS line_labour,
        coalesce(
            sum(CASE WHEN type_id = 'tax' THEN amount END), sum(tax)
        )::DECIMAL(12, 2) AS summed_tax,
        sum(CASE WHEN type_id = 'labor' THEN line_min END) AS line_labour_min,
        sum(CASE WHEN type_id = 'trip' THEN line_min END) AS line_travel_min,
        coalesce(
            string_agg(problems, ' ' ORDER BY row_id) FILTER (WHERE problems <> ''), ''
        ) AS line_problems,
    FROM staged.job_lines
    GROUP BY head_row
),

written AS (
    SELECT
        lines.head_row,
        max(jobs.job_id) AS job_id,
        arg_min(jobs.opened_on, jobs.row_id) FILTER (WHERE jobs.opened_on IS NOT NULL) AS opened_on,
        arg_max(jobs.closed_on, jobs.row_id) FILTER (WHERE jobs.closed_on IS NOT NULL) AS closed_on,
        arg_min(jobs.branch, jobs.row_id) FILTER (WHERE jobs.branch IS NOT NULL) AS branch,
        arg_min(jobs.technician, jobs.row_id) FILTER (WHERE jobs.technician IS NOT NULL)
            AS technician,
        arg_min(jobs.customer, jobs.row_id) FILTER (WHERE jobs.customer IS NOT NULL) AS customer,
        arg_min(jobs.appliance_kind, jobs.row_id) FILTER (WHERE jobs.appliance_kind IS NOT NULL)
            AS appliance_kind,
        arg_min(jobs.fuel, jobs.row_id) FILTER (WHERE jobs.fuel IS NOT NULL) AS fuel,
        arg_min(jobs.brand, jobs.row_id) FILTER (WHERE jobs.brand IS NOT NULL) AS brand,
        arg_min(jobs.model, jobs.row_id) FILTER (WHERE jobs.model IS NOT NULL) AS model,
        arg_min(jobs.serial, jobs.row_id) FILTER (WHERE jobs.serial IS NOT NULL) AS serial,
        arg_min(jobs.built_year, jobs.row_id) FILTER (WHERE jobs.built_year IS NOT NULL)
            AS built_year,
        arg_min(jobs.symptom, jobs.row_id) FILTER (WHERE jobs.symptom IS NOT NULL) AS symptom,
        arg_min(jobs.root_cause, jobs.row_id) FILTER (WHERE jobs.root_cause IS NOT NULL)
            AS root_cause,
        arg_min(jobs.repair_code, jobs.row_id) FILTER (WHERE jobs.repair_code IS NOT NULL)
            AS repair_code,
        arg_min(jobs.disposition, jobs.row_id) FILTER (WHERE jobs.disposition IS NOT NULL)
            AS disposition,
        arg_min(jobs.callback_of, jobs.row_id) FILTER (WHERE jobs.callback_of IS NOT NULL)
            AS callback_of,
        arg_min(jobs.visit_count, jobs.row_id) FILTER (WHERE jobs.visit_count IS NOT NULL)
            AS visit_count,
        arg_min(jobs.minutes_on_job, jobs.row_id) FILTER (WHERE jobs.minutes_on_job IS NOT NULL)
            AS minutes_on_job,
        arg_min(jobs.travel_minutes, jobs.row_id) FILTER (WHERE jobs.travel_minutes IS NOT NULL)
            AS travel_minutes,
        arg_min(jobs.charged, jobs.row_id) FILTER (WHERE jobs.charged IS NOT NULL) AS charged,
        arg_min(jobs.parts_charged, jobs.row_id) FILTER (WHERE jobs.parts_charged IS NOT NULL)
            AS parts_charged,
        arg_min(jobs.labour_charged, jobs.row_id) FILTER (WHERE jobs.labour_charged IS NOT NULL)
            AS labour_charged,
        arg_min(jobs.tax, jobs.row_id) FILTER (WHERE jobs.tax IS NOT NULL) AS tax,
        arg_min(jobs.charged_with_tax, jobs.row_id) FILTER (WHERE jobs.charged_with_tax IS NOT NULL)
            AS charged_with_tax,
        arg_min(jobs.currency, jobs.row_id) FILTER (WHERE jobs.currency IS NOT NULL) AS currency,
        arg_min(jobs.mends, jobs.row_id) FILTER (WHERE jobs.mends IS NOT NULL) AS mends,
    FROM staged.job_lines AS lines
    INNER JOIN raw.jobs AS jobs ON lines.row_id = jobs.row_id
    GROUP BY lines.head_row
)

SELECT
    heads.row_id,
    heads.source_id,
    heads.row_no,
    written.job_id,
    written.opened_on,
    written.closed_on,
    written.branch,
    written.technician,
    written.customer,
    written.appliance_kind,
    written.fuel,
    written.brand,
    written.model,
    written.serial,
    written.built_year,
    written.symptom,
    written.root_cause,
    written.repair_code,
    written.disposition,
    written.callback_of,
    written.visit_count,
    written.minutes_on_job,
    written.travel_minutes,
    written.charged,
    written.parts_charged,
    written.labour_charged,
    written.tax,
    written.currency,
    NULL::VARCHAR AS line_type,
    NULL::VARCHAR AS line_amount,
    NULL::VARCHAR AS line_quantity,
    NULL::VARCHAR AS line_price,
    NULL::VARCHAR AS line_minutes,
    NULL::VARCHAR AS line_unit,
    NULL::VARCHAR AS line_tax,
    NULL::VARCHAR AS line_amount_with_tax,
    written.charged_with_tax,
    NULL::VARCHAR AS tax_rate,
    written.mends,
    sums.line_charged,
    sums.line_parts,
    sums.line_labour,
    sums.summed_tax,
    sums.line_labour_min,
    sums.line_travel_min,
    sums.line_problems,
FROM staged.job_lines AS heads
INNER JOIN written ON heads.row_id = written.head_row
INNER JOIN sums ON heads.row_id = sums.head_row;
