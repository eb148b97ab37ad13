-- Rows as the sources wrote them: all text, one row per source row, kept across loads.
-- grain: a row of `sources` is one table of one file; a row of the four record tables is one
--        source row (item_no 0), or one cell of it (item_no 1, 2, …: readings and parts in columns).
-- counts: personal data never comes here: customer and serial are keyed hashes.
CREATE SCHEMA raw;

CREATE TABLE raw.loads (
    load_no INTEGER PRIMARY KEY,
    loaded_at TIMESTAMP NOT NULL,
);

CREATE TABLE raw.mappings (
    mapping VARCHAR PRIMARY KEY,
    title VARCHAR NOT NULL,
    date_order VARCHAR NOT NULL,
    decimal_sign VARCHAR NOT NULL,
    currency VARCHAR NOT NULL,
    time_zone VARCHAR NOT NULL,
    fold_case BOOLEAN NOT NULL,
    own_kinds BOOLEAN NOT NULL,
    numbering VARCHAR NOT NULL DEFAULT '',
);

CREATE TABLE raw.words (
    mapping VARCHAR NOT NULL,
    field VARCHAR NOT NULL,
    word VARCHAR NOT NULL,
    id VARCHAR NOT NULL,
    PRIMARY KEY (mapping, field, word),
);

CREATE TABLE raw.accepted_words (
    mapping VARCHAR NOT NULL,
    field VARCHAR NOT NULL,
    word VARCHAR NOT NULL,
    id VARCHAR NOT NULL,
    PRIMARY KEY (mapping, field, word),
);

CREATE TABLE raw.sources (
    source_id INTEGER PRIMARY KEY,
    load_no INTEGER NOT NULL,
    file VARCHAR NOT NULL,
    sheet VARCHAR,
    table_name VARCHAR NOT NULL CHECK (table_name IN ('jobs', 'visits', 'readings', 'part_lines')),
    mapping VARCHAR NOT NULL,
    content_hash VARCHAR NOT NULL,
    columns_hash VARCHAR NOT NULL,
    header VARCHAR NOT NULL,
    unmapped VARCHAR NOT NULL,
    rows_read BIGINT NOT NULL,
    note_readings BIGINT NOT NULL,
    notes_unread BIGINT NOT NULL,
    date_system VARCHAR,
    landed_on DATE NOT NULL,
    numbering VARCHAR NOT NULL DEFAULT '',
    has_lines BOOLEAN NOT NULL DEFAULT FALSE,
    job_time_unit VARCHAR NOT NULL DEFAULT 'minutes',
    travel_time_unit VARCHAR NOT NULL DEFAULT 'minutes',
    line_time_unit VARCHAR NOT NULL DEFAULT 'minutes',
    labor_quantity_unit VARCHAR NOT NULL DEFAULT '',
    missing VARCHAR NOT NULL DEFAULT '',
);

CREATE TABLE raw.bad_rows (
    source_id INTEGER NOT NULL,
    row_no BIGINT NOT NULL,
    code VARCHAR NOT NULL,
    text VARCHAR,
);

CREATE TABLE raw.jobs (
    row_id BIGINT NOT NULL,
    source_id INTEGER NOT NULL,
    row_no BIGINT NOT NULL,
    job_id VARCHAR,
    opened_on VARCHAR,
    closed_on VARCHAR,
    branch VARCHAR,
    technician VARCHAR,
    customer VARCHAR,
    appliance_kind VARCHAR,
    fuel VARCHAR,
    brand VARCHAR,
    model VARCHAR,
    serial VARCHAR,
    built_year VARCHAR,
    symptom VARCHAR,
    root_cause VARCHAR,
    repair_code VARCHAR,
    disposition VARCHAR,
    callback_of VARCHAR,
    visit_count VARCHAR,
    minutes_on_job VARCHAR,
    travel_minutes VARCHAR,
    charged VARCHAR,
    parts_charged VARCHAR,
    labour_charged VARCHAR,
    tax VARCHAR,
    currency VARCHAR,
    line_type VARCHAR,
    line_amount VARCHAR,
    line_quantity VARCHAR,
    line_price VARCHAR,
    line_minutes VARCHAR,
    line_unit VARCHAR,
    line_tax VARCHAR,
    line_amount_with_tax VARCHAR,
    charged_with_tax VARCHAR,
    tax_rate VARCHAR,
    mends VARCHAR,
);

CREATE TABLE raw.visits (
    row_id BIGINT NOT NULL,
    source_id INTEGER NOT NULL,
    row_no BIGINT NOT NULL,
    job_id VARCHAR,
    visit_no VARCHAR,
    technician VARCHAR,
    arrived_at VARCHAR,
    left_at VARCHAR,
    minutes_on_job VARCHAR,
    travel_minutes VARCHAR,
    outcome VARCHAR,
    mends VARCHAR,
);

CREATE TABLE raw.readings (
    row_id BIGINT NOT NULL,
    item_no INTEGER NOT NULL,
    source_id INTEGER NOT NULL,
    row_no BIGINT NOT NULL,
    origin VARCHAR NOT NULL CHECK (origin IN ('row', 'column', 'notes')),
    job_id VARCHAR,
    visit_no VARCHAR,
    seq VARCHAR,
    test_point VARCHAR,
    value VARCHAR,
    unit VARCHAR,
    state VARCHAR,
    ambient VARCHAR,
    ambient_unit VARCHAR,
    minutes VARCHAR,
    meter VARCHAR,
    nameplate VARCHAR,
    mends VARCHAR,
);

CREATE TABLE raw.part_lines (
    row_id BIGINT NOT NULL,
    item_no INTEGER NOT NULL,
    source_id INTEGER NOT NULL,
    row_no BIGINT NOT NULL,
    origin VARCHAR NOT NULL CHECK (origin IN ('row', 'column')),
    job_id VARCHAR,
    visit_no VARCHAR,
    part_no VARCHAR,
    component VARCHAR,
    supplier VARCHAR,
    quantity VARCHAR,
    unit_cost VARCHAR,
    unit_charge VARCHAR,
    from_van VARCHAR,
    on_hand VARCHAR,
    mends VARCHAR,
);
