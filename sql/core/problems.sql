-- Why rows are in quarantine, and what was left out of rows that were kept.
-- grain: one row per source row (or cell), field and problem code.
-- counts: every quarantined row has at least one; text is what the source wrote in that field.
INSERT INTO core.problems BY NAME
WITH quarantined AS (
    SELECT
        'jobs' AS table_name, row_id, 0 AS item_no, source_id, row_no, problems,
        FALSE AS is_row_kept,
    FROM staged.jobs_left_out
    WHERE status = 'quarantined'
    UNION ALL
    SELECT 'visits', row_id, 0, source_id, row_no, problems, FALSE
    FROM staged.visits_left_out
    WHERE status = 'quarantined'
    UNION ALL
    SELECT 'readings', row_id, item_no, source_id, row_no, problems, FALSE
    FROM staged.readings_left_out
    WHERE status = 'quarantined'
    UNION ALL
    SELECT 'part_lines', row_id, item_no, source_id, row_no, problems, FALSE
    FROM staged.part_lines_left_out
    WHERE status = 'quarantined'
    UNION ALL
    SELECT 'jobs', jobs.row_id, 0, jobs.source_id, jobs.row_no, jobs.remarks, TRUE
    FROM staged.jobs AS jobs
    INNER JOIN core.jobs AS loaded ON jobs.row_id = loaded.row_id
    WHERE jobs.remarks <> ''
),

found AS (
    SELECT quarantined.*, checks.code, checks.field,
    FROM quarantined
    INNER JOIN lookups.checks AS checks
        ON checks.table_name = quarantined.table_name
        AND strpos(
            ' ' || quarantined.problems || ' ',
            ' ' || checks.code || '@' || checks.field || ' '
        ) > 0
    UNION ALL
    SELECT
        quarantined.*,
        codes.code,
        'value' AS field,
    FROM quarantined
    INNER JOIN lookups.problem_codes_readings AS codes
        ON quarantined.table_name = 'readings'
        AND strpos(' ' || quarantined.problems || ' ', ' ' || codes.code || '@value ') > 0
)

SELECT
    found.table_name,
    found.row_id,
    found.item_no,
    found.source_id,
    found.row_no,
    found.code,
    found.field,
    CASE found.table_name
        WHEN 'jobs' THEN CASE found.field
            WHEN 'opened_on' THEN jobs.opened_on
            WHEN 'closed_on' THEN jobs.closed_on
            WHEN 'appliance_kind' THEN jobs.appliance_kind
            WHEN 'disposition' THEN jobs.disposition
            WHEN 'charged' THEN jobs.charged
            WHEN 'parts_charged' THEN jobs.parts_charged
            WHEN 'labour_charged' THEN jobs.labour_charged
            WHEN 'tax' THEN jobs.tax
            WHEN 'charged_with_tax' THEN jobs.charged_with_tax
            WHEN 'tax_rate' THEN jobs.tax_rate
            WHEN 'line_tax' THEN jobs.line_tax
            WHEN 'line_amount_with_tax' THEN jobs.line_amount_with_tax
            WHEN 'job_id' THEN jobs.job_id
            WHEN 'line_type' THEN jobs.line_type
            WHEN 'line_amount' THEN jobs.line_amount
            WHEN 'line_price' THEN jobs.line_price
            WHEN 'line_quantity' THEN jobs.line_quantity
            WHEN 'line_minutes' THEN jobs.line_minutes
            WHEN 'minutes_on_job' THEN jobs.minutes_on_job
            WHEN 'travel_minutes' THEN jobs.travel_minutes
            WHEN 'visit_count' THEN jobs.visit_count
            WHEN 'built_year' THEN jobs.built_year
        END
        WHEN 'visits' THEN CASE found.field
            WHEN 'job_id' THEN visits.job_id
            WHEN 'visit_no' THEN visits.visit_no
            WHEN 'arrived_at' THEN visits.arrived_at
            WHEN 'left_at' THEN visits.left_at
            WHEN 'minutes_on_job' THEN visits.minutes_on_job
            WHEN 'travel_minutes' THEN visits.travel_minutes
        END
        WHEN 'readings' THEN CASE found.field
            WHEN 'job_id' THEN readings.job_id
            WHEN 'visit_no' THEN readings.visit_no
            WHEN 'seq' THEN readings.seq
            WHEN 'value' THEN readings.value
        END
        WHEN 'part_lines' THEN CASE found.field
            WHEN 'job_id' THEN part_lines.job_id
            WHEN 'visit_no' THEN part_lines.visit_no
            WHEN 'part_no' THEN part_lines.part_no
            WHEN 'quantity' THEN part_lines.quantity
            WHEN 'unit_cost' THEN part_lines.unit_cost
            WHEN 'unit_charge' THEN part_lines.unit_charge
        END
    END AS text,
    found.is_row_kept,
FROM found
LEFT JOIN raw.jobs AS jobs ON found.table_name = 'jobs' AND found.row_id = jobs.row_id
LEFT JOIN raw.visits AS visits ON found.table_name = 'visits' AND found.row_id = visits.row_id
LEFT JOIN raw.readings AS readings
    ON found.table_name = 'readings'
    AND found.row_id = readings.row_id
    AND found.item_no = readings.item_no
LEFT JOIN raw.part_lines AS part_lines
    ON found.table_name = 'part_lines'
    AND found.row_id = part_lines.row_id
    AND found.item_no = part_lines.item_no
UNION ALL
SELECT
    sources.table_name,
    sources.source_id * 4294967296 + bad_rows.row_no,
    0,
    bad_rows.source_id,
    bad_rows.row_no,
    bad_rows.code,
    'row',
    NULL,
    FALSE,
FROM raw.bad_rows AS bad_rows
INNER JOIN raw.sources AS sources ON bad_rows.source_id = sources.source_id
ORDER BY 4, 5, 3, 6, 7;
