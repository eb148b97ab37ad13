-- The core tables: keys, types and checks. The SELECTs that fill them are in files of their names.
-- counts: core drops no source row that is not in staged.*_left_out; those in quarantine have their
--         reasons in core.problems. Readings and part lines have no key of their own to check:
--         their row ids are made at the door, and the account would not balance if one came twice.
CREATE TABLE core.jobs (
    job_id VARCHAR PRIMARY KEY,
    row_id BIGINT NOT NULL,
    mapping VARCHAR NOT NULL,
    numbering VARCHAR NOT NULL,
    job_number VARCHAR NOT NULL,
    opened_on DATE NOT NULL,
    opened_minute INTEGER,
    closed_on DATE,
    branch VARCHAR,
    technician VARCHAR,
    unit_key VARCHAR,
    appliance_kind VARCHAR NOT NULL,
    brand VARCHAR,
    model VARCHAR,
    built_year INTEGER,
    symptom VARCHAR NOT NULL,
    symptom_family VARCHAR NOT NULL,
    root_cause VARCHAR,
    cause_component VARCHAR,
    cause_class VARCHAR,
    repair_code VARCHAR,
    disposition VARCHAR NOT NULL,
    callback_of VARCHAR,
    visit_count INTEGER,
    labour_min DOUBLE CHECK (labour_min >= 0),
    travel_min DOUBLE CHECK (travel_min >= 0),
    charged DECIMAL(12, 2),
    parts_charged DECIMAL(12, 2),
    labour_charged DECIMAL(12, 2),
    tax DECIMAL(12, 2),
    currency VARCHAR,
    CHECK (closed_on >= opened_on),
);

CREATE TABLE core.visits (
    job_id VARCHAR NOT NULL,
    visit_no INTEGER NOT NULL CHECK (visit_no >= 1),
    row_id BIGINT NOT NULL,
    technician VARCHAR NOT NULL,
    arrived_at TIMESTAMP,
    left_at TIMESTAMP,
    labour_min DOUBLE CHECK (labour_min >= 0),
    is_labour_derived BOOLEAN NOT NULL,
    travel_min DOUBLE CHECK (travel_min >= 0),
    outcome VARCHAR NOT NULL,
    is_attended BOOLEAN NOT NULL,
    repeat_reason VARCHAR NOT NULL,
    PRIMARY KEY (job_id, visit_no),
);

CREATE TABLE core.readings (
    row_id BIGINT NOT NULL,
    item_no INTEGER NOT NULL,
    job_id VARCHAR NOT NULL,
    visit_no INTEGER,
    seq INTEGER NOT NULL,
    origin VARCHAR NOT NULL,
    test_point VARCHAR,
    written_point VARCHAR NOT NULL,
    written_value VARCHAR NOT NULL,
    outcome VARCHAR NOT NULL,
    base_value DOUBLE,
    base_unit VARCHAR,
    is_open BOOLEAN NOT NULL,
    is_closed BOOLEAN NOT NULL,
    comparator VARCHAR NOT NULL,
    flags VARCHAR NOT NULL,
    ambient_cel DOUBLE,
    test_min DOUBLE,
    meter VARCHAR,
    nameplate DOUBLE,
    nameplate_unit VARCHAR,
    noted_words VARCHAR NOT NULL,
);

CREATE TABLE core.part_lines (
    row_id BIGINT NOT NULL,
    item_no INTEGER NOT NULL,
    job_id VARCHAR NOT NULL,
    visit_no INTEGER,
    part_no VARCHAR NOT NULL,
    component VARCHAR,
    supplier VARCHAR,
    quantity DOUBLE NOT NULL CHECK (quantity BETWEEN -10000 AND 10000),
    unit_cost DECIMAL(12, 2),
    unit_charge DECIMAL(12, 2),
    is_from_van BOOLEAN,
    is_on_hand BOOLEAN,
);

CREATE TABLE core.problems (
    table_name VARCHAR NOT NULL,
    row_id BIGINT NOT NULL,
    item_no INTEGER NOT NULL,
    source_id INTEGER NOT NULL,
    row_no BIGINT NOT NULL,
    code VARCHAR NOT NULL,
    field VARCHAR NOT NULL,
    text VARCHAR,
    is_row_kept BOOLEAN NOT NULL,
);

CREATE TABLE core.unknown_words (
    field VARCHAR NOT NULL,
    appliance_kind VARCHAR NOT NULL,
    mapping VARCHAR NOT NULL,
    text VARCHAR NOT NULL,
    rows BIGINT NOT NULL,
    jobs_held BIGINT NOT NULL,
);

CREATE TABLE staged.name_meanings (
    field VARCHAR NOT NULL, kind VARCHAR NOT NULL, text VARCHAR NOT NULL, id VARCHAR NOT NULL
);

CREATE TABLE staged.job_meanings (
    field VARCHAR NOT NULL, kind VARCHAR NOT NULL, text VARCHAR NOT NULL, id VARCHAR NOT NULL
);
CREATE TABLE staged.part_meanings (
    field VARCHAR NOT NULL, kind VARCHAR NOT NULL, text VARCHAR NOT NULL, id VARCHAR NOT NULL
);

CREATE TABLE staged.parsed_values (
    text_id BIGINT PRIMARY KEY,
    outcome VARCHAR NOT NULL,
    base_value DOUBLE,
    base_unit VARCHAR,
    is_open BOOLEAN NOT NULL,
    is_closed BOOLEAN NOT NULL,
    comparator VARCHAR NOT NULL,
    flags VARCHAR NOT NULL,
    problem VARCHAR,
);
