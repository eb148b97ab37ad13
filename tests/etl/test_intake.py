"""From any export to the database and back: flat tables, notes, words, quarantine, privacy."""

import csv
import io
import json
from functools import partial
from importlib.resources import files
from pathlib import Path

import pandas as pd
import pytest
from openpyxl import Workbook

from etl.load import LoadError, load
from etl.mapping.accepted_words import AcceptedWord
from etl.mapping.mapping import Mapping, MappingError, mapping_from, read_mapping
from etl.mapping.propose import propose
from etl.mapping.toml_writer import mapping_text
from etl.quarantine import plain, to_fix, waiting_sources, write_waiting
from etl.read import read_tables
from etl.rebuild import accept_words
from tests.ask import measure, records, run

FLAT = """No,Received,Finished,Type,Complaint,Ended,Client,Phone,Ser no,Heater ohms,FF temp,Used,Remarks
1,03/04/2026,03/05/2026,fridge,"freezer cold, fridge warm",Complete,Jo Canaryname,555-0134,SN-CANARY-1,34.3,52 F,DH-1 x 2; DT-9,bimetal cold OL / evap fan 12.1v; call jo.canary@example.org
2,03/06/2026,03/07/2026,fridge,"freezer cold, fridge warm",Complete,Al Canaryother,555-0188,SN-CANARY-2,OL,,DH-1,Jo Canaryname says hi
"""
FLAT_MAPPING = {
    "name": "flat",
    "date_order": "MDY",
    "table": [
        {
            "table": "jobs",
            "files": ["flat*.csv"],
            "columns": {
                "job_id": "No",
                "opened_on": "Received",
                "closed_on": "Finished",
                "appliance_kind": "Type",
                "symptom": "Complaint",
                "disposition": "Ended",
                "customer": ["Client", "Phone"],
                "serial": "Ser no",
                "parts": "Used",
                "notes": "Remarks",
            },
            "readings": {"Heater ohms": "defrost heater", "FF temp": "fridge temp"},
        }
    ],
}


@pytest.fixture
def flat(tmp_path: Path) -> Path:
    """One flat table loaded: readings in columns and in notes, parts in one cell."""
    path = tmp_path / "flat.csv"
    path.write_text(FLAT, encoding="utf-8")
    load([path], tmp_path / "db", mapping=mapping_from(FLAT_MAPPING, "flat.toml"))
    return tmp_path / "db"


def query(folder: Path):
    """Return the function that etl.quarantine asks for rows."""
    return partial(records, folder)


def test_readings_in_columns_and_in_notes_become_readings(flat: Path):
    rows = run(flat, "pages/readings_of_job", job_id="1")
    found = {(row.test_point, row.origin, row.written_value) for row in rows.itertuples()}
    assert ("defrost_heater_ohm", "column", "34.3") in found
    assert ("ff_temp", "column", "52 F") in found
    assert ("defrost_thermostat_cold", "notes", "OL") in found
    assert ("evap_fan_v", "notes") in {(point, origin) for point, origin, _ in found}


def test_parts_in_one_cell_become_lines(flat: Path):
    rows = run(flat, "pages/parts_of_job", job_id="1")
    assert [(r.part_no, r.quantity) for r in rows.itertuples()] == [("DH-1", 2), ("DT-9", 1)]


def test_a_cell_of_a_flat_table_is_no_row_of_the_account(flat: Path):
    accounts = run(flat, "pages/accounts")
    assert (accounts["read"].sum(), accounts["loaded"].sum()) == (2, 2)


CANARIES = ("Canary", "canary", "555-01", "SN-CANARY", "example.org")


def test_no_personal_text_is_in_any_file_that_a_load_writes(flat: Path):
    """Customer, phone, serial and notes never reach the disk, in no file of the database folder."""
    for path in flat.rglob("*"):
        if path.is_file():
            content = path.read_bytes()
            for canary in CANARIES:
                assert canary.encode() not in content, (path.name, canary)
                assert canary.encode("utf-16-le") not in content, (path.name, canary)


def test_no_personal_text_is_in_errors_and_exports(tmp_path: Path):
    path = tmp_path / "flat.csv"
    path.write_text(FLAT.replace("03/05/2026", "nonsense"), encoding="utf-8")
    account = load([path], tmp_path / "db", mapping=mapping_from(FLAT_MAPPING, "flat.toml"))
    ask = query(tmp_path / "db")
    shown = json.dumps(account.as_json()) + "".join(
        to_fix(ask, source) for source in waiting_sources(ask)
    )
    assert "nonsense" in shown
    for canary in CANARIES:
        assert canary not in shown


def test_contacts_in_a_complaint_are_blotted_out(tmp_path: Path):
    path = tmp_path / "jobs.csv"
    path.write_text(
        "job_id,opened_on,closed_on,appliance_kind,symptom,disposition\n"
        "1,2026-01-01,2026-01-02,washer,leaks call (555) 010-1234 or a.b@example.org,repaired\n",
        encoding="utf-8",
    )
    load([path], tmp_path / "db")
    for file in (tmp_path / "db").glob("*.duckdb"):
        assert b"010-1234" not in file.read_bytes()
        assert b"a.b@example.org" not in file.read_bytes()
    assert run(tmp_path / "db", "pages/jobs").iloc[0].symptom == "leaks"


BAD = """job_id,opened_on,closed_on,appliance_kind,symptom,disposition,customer,charged
A,2026-01-01,2026-01-02,washer,leaks,repaired,one,see bill
B,2026-01-01,2026-01-02,washer,leaks,vanished,two,=1+2
,2026-01-01,2026-01-02,washer,leaks,repaired,three,70
C,2026-01-01,2026-01-02,washer,leaks,repaired,four,80
"""


@pytest.mark.parametrize("header", ["corrects_row", "mends"])
def test_corrected_rows_replace_the_waiting_ones(tmp_path: Path, header: str):
    """Also where the job number itself was missing: the row says which row it corrects.

    Files exported before the column was renamed are still understood.
    """
    path = tmp_path / "jobs.csv"
    path.write_text(BAD, encoding="utf-8")
    load([path], tmp_path / "db")
    (exported,) = write_waiting(query(tmp_path / "db"), tmp_path / "out")
    text = exported.read_text(encoding="utf-8")
    assert text.splitlines()[0].startswith("job_id,opened_on,closed_on,appliance_kind")
    corrected = (
        text.replace("corrects_row", header, 1)
        .replace("see bill,", "50,", 1)
        .replace("vanished", "repaired", 1)
        .replace("'=1+2,", "60,", 1)
        .replace("\n,2026", "\nD,2026", 1)
    )
    exported.write_text(corrected, encoding="utf-8")
    account = load([exported], tmp_path / "db")
    assert (account.files[0].loaded, account.files[0].quarantined) == (3, 0)
    rows = run(tmp_path / "db", "pages/jobs")
    assert dict(zip(rows["job_id"], rows["charged"], strict=True)) == {
        "A": 50, "B": 60, "C": 80, "D": 70,
    }  # fmt: skip
    assert run(tmp_path / "db", "pages/accounts")["quarantined"].sum() == 0


def test_a_row_sent_back_uncorrected_waits_once_not_twice(tmp_path: Path):
    path = tmp_path / "jobs.csv"
    path.write_text(BAD, encoding="utf-8")
    load([path], tmp_path / "db")
    paths = write_waiting(query(tmp_path / "db"), tmp_path / "out")
    load(paths, tmp_path / "db")
    assert run(tmp_path / "db", "pages/accounts")["quarantined"].sum() == 3


def test_as_many_rows_are_reported_waiting_as_are_exported(tmp_path: Path):
    load([Path(str(files("sample_data")))], tmp_path / "db")
    ask = query(tmp_path / "db")
    sources = waiting_sources(ask)
    assert {source.table for source in sources} == {"jobs", "visits", "readings", "part_lines"}
    for source in sources:
        header, *rows = csv.reader(io.StringIO(to_fix(ask, source)))
        assert len(rows) == source.count > 0, source.file
        assert header[-2:] == ["corrects_row", "reasons"]


FORMULAS = ["=1+2", "+1+2", "-1+2", "@SUM(A1)", "\t=1", "\r=1", "=HYPERLINK(1)"]


@pytest.mark.parametrize("text", FORMULAS)
def test_exports_never_start_a_formula(text: str):
    """First characters as OWASP lists them for CSV injection."""
    assert plain(text).startswith("'")


@pytest.mark.parametrize("text", ["-5", "+3.5", "1,234.50", "-0.5"])
def test_numbers_stay_numbers_in_exports(text: str):
    assert plain(text) == text


def test_an_accepted_word_counts_for_all_history(tmp_path: Path):
    path = tmp_path / "jobs.csv"
    path.write_text(
        "job_id,opened_on,closed_on,appliance_kind,symptom,disposition\n"
        "1,2026-01-01,2026-01-02,washer,sings at midnight,repaired\n",
        encoding="utf-8",
    )
    account = load([path], tmp_path / "db")
    assert account.unknown_words == (("symptom", "washer", "sings at midnight", 1),)
    word = AcceptedWord("canonical", "symptom", "Sings at MIDNIGHT!", "vibrates")
    accept_words(tmp_path / "db", [word])
    assert run(tmp_path / "db", "pages/jobs").iloc[0].symptom == "vibrates"
    load([path], tmp_path / "db")  # a later load does not forget it
    assert run(tmp_path / "db", "pages/jobs").iloc[0].symptom == "vibrates"


def test_an_accepted_word_frees_rows_from_quarantine(tmp_path: Path):
    path = tmp_path / "jobs.csv"
    path.write_text(
        "job_id,opened_on,closed_on,appliance_kind,symptom,disposition\n"
        "1,2026-01-01,2026-01-02,washer,leaks,All well\n",
        encoding="utf-8",
    )
    assert load([path], tmp_path / "db").quarantined == 1
    accept_words(
        tmp_path / "db", [AcceptedWord("canonical", "disposition", "All well", "repaired")]
    )
    assert run(tmp_path / "db", "pages/accounts")["loaded"].sum() == 1


def test_a_word_cannot_mean_what_does_not_exist(tmp_path: Path):
    with pytest.raises(MappingError, match="no such id"):
        accept_words(tmp_path, [AcceptedWord("canonical", "symptom", "x", "no_such_symptom")])
    with pytest.raises(LoadError, match="nothing was loaded yet"):
        accept_words(tmp_path / "db", [AcceptedWord("canonical", "symptom", "x", "leaks")])


def test_a_close_spelling_is_proposed_and_used_only_when_accepted(tmp_path: Path):
    path = tmp_path / "parts.csv"
    path.write_text("job_id,part_no,component\n1,HE-1,heatng elemnt\n", encoding="utf-8")
    jobs = tmp_path / "jobs.csv"
    jobs.write_text(
        "job_id,opened_on,closed_on,appliance_kind,symptom,disposition\n"
        "1,2026-01-01,2026-01-02,dishwasher,leaves dishes wet,repaired\n",
        encoding="utf-8",
    )
    load([path, jobs], tmp_path / "db")
    unknown = run(tmp_path / "db", "pages/unknown_words").iloc[0]
    assert (unknown.text, unknown.suggestion) == ("heatng elemnt", "heating_element")
    load([path, jobs], tmp_path / "accepted", accepts_spelling=True)
    assert run(tmp_path / "accepted", "pages/unknown_words").empty


def test_an_ambiguous_word_refuses(tmp_path: Path):
    """A refrigerator's "thermostat" can be of defrost or of control. Common practice, no source."""
    (tmp_path / "jobs.csv").write_text(
        "job_id,opened_on,closed_on,appliance_kind,symptom,disposition\n"
        "1,2026-01-01,2026-01-02,refrigerator,not cold,repaired\n",
        encoding="utf-8",
    )
    (tmp_path / "parts.csv").write_text("job_id,part_no,component\n1,T-1,thermostat\n")
    load([tmp_path / "jobs.csv", tmp_path / "parts.csv"], tmp_path / "db")
    assert run(tmp_path / "db", "pages/unknown_words").iloc[0].text == "thermostat"


def test_the_longest_known_phrase_decides_the_complaint(tmp_path: Path):
    (tmp_path / "jobs.csv").write_text(
        "job_id,opened_on,closed_on,appliance_kind,symptom,disposition\n"
        "1,2026-01-01,2026-01-02,refrigerator,Customer says the freezer is cold but the fridge is warm!,repaired\n"
        "2,2026-01-01,2026-01-02,refrigerator,see the office,repaired\n",
        encoding="utf-8",
    )
    load([tmp_path / "jobs.csv"], tmp_path / "db")
    rows = run(tmp_path / "db", "pages/jobs").set_index("job_id")["symptom"]
    assert rows.to_dict() == {"1": "warm_fresh_food", "2": "unspecified"}


def test_a_proposal_names_table_columns_and_confidence(tmp_path: Path):
    path = tmp_path / "export.csv"
    path.write_text(FLAT, encoding="utf-8")
    proposal = propose(read_tables(path)[0])
    found = {match.field: (match.header, match.confidence) for match in proposal.matches}
    assert proposal.table == "jobs"
    assert found["opened_on"] == ("Received", 0.95)
    assert found["notes"] == ("Remarks", 0.95)
    assert ("Heater ohms", "heater ohms") in proposal.readings
    assert proposal.date_order == ""  # no day above twelve: the dates leave the choice open


def test_a_proposal_is_a_mapping_that_can_be_saved_and_read_again(tmp_path: Path):
    path = tmp_path / "export.csv"
    path.write_text(FLAT.replace("03/05", "03/25"), encoding="utf-8")
    mapping = propose(read_tables(path)[0]).mapping("mine")
    assert mapping.date_order == "MDY"
    saved = tmp_path / "mine.toml"
    given = mapping_from({**FLAT_MAPPING, "words": {"symptom": {'say "no"\\': "no_heat"}}}, "x")
    saved.write_text(mapping_text(given), encoding="utf-8")
    assert read_mapping(saved) == given


def test_one_load_takes_four_formats(tmp_path: Path):
    """Jobs as a workbook with date cells, visits as semicolon text, readings as JSON Lines, parts
    as Parquet: one record.
    """
    import datetime as dt

    workbook = Workbook()
    sheet = workbook.active
    sheet.append(
        ["job_id", "opened_on", "closed_on", "appliance_kind", "symptom", "disposition", "charged"]
    )
    sheet.append(
        [
            7,
            dt.date(2026, 1, 1),
            dt.datetime(2026, 1, 2, 15, 0),
            "washer",
            "leaks",
            "repaired",
            99.5,
        ]
    )
    workbook.save(tmp_path / "jobs.xlsx")
    (tmp_path / "visits.csv").write_text(
        "job_id;visit_no;technician;outcome;minutes_on_job\n7;1;Änn;completed;1:20\n",
        encoding="cp1252",
    )
    (tmp_path / "readings.jsonl").write_text(
        '{"job_id": 7, "visit_no": 1, "test_point": "washer_inlet_valve_ohm", "value": "0.98k"}\n',
        encoding="utf-8",
    )
    pd.DataFrame(
        {"job_id": [7], "part_no": ["V-1"], "quantity": [1], "unit_cost": [12.5]}
    ).to_parquet(tmp_path / "parts.parquet")
    account = load([tmp_path], tmp_path / "db")
    assert [file.loaded for file in account.files] == [1, 1, 1, 1]
    job = run(tmp_path / "db", "pages/jobs").iloc[0]
    assert (job.job_id, job.charged, job.labour_min, job.technician) == ("7", 99.5, 80, "Änn")
    assert str(job.closed_on)[:10] == "2026-01-02"
    reading = run(tmp_path / "db", "pages/readings_of_job", job_id="7").iloc[0]
    assert reading.base_value == pytest.approx(980)


def test_a_mapping_with_other_columns_reads_the_same_file_again(tmp_path: Path):
    path = tmp_path / "flat.csv"
    path.write_text(FLAT, encoding="utf-8")
    first = mapping_from(FLAT_MAPPING, "flat.toml")
    load([path], tmp_path / "db", mapping=first)
    table = FLAT_MAPPING["table"][0]
    without = {**FLAT_MAPPING, "table": [{**table, "readings": {}}]}
    load([path], tmp_path / "db", mapping=mapping_from(without, "flat.toml"))
    rows = run(tmp_path / "db", "pages/readings_of_job", job_id="1")
    assert set(rows["origin"]) == {"notes"}
    assert run(tmp_path / "db", "pages/accounts")["read"].sum() == 2


def test_the_words_of_a_mapping_are_checked(tmp_path: Path):
    path = tmp_path / "flat.csv"
    path.write_text(FLAT, encoding="utf-8")
    wrong = {**FLAT_MAPPING, "words": {"disposition": {"Complete": "finished_it"}}}
    with pytest.raises(MappingError, match='"Complete" = "finished_it"'):
        load([path], tmp_path / "db", mapping=mapping_from(wrong, "flat.toml"))
    assert not (tmp_path / "db" / "CURRENT").exists()


def test_a_missing_column_of_a_named_mapping_is_reported(tmp_path: Path):
    path = tmp_path / "flat.csv"
    path.write_text(FLAT.replace("Received", "Taken in"), encoding="utf-8")
    with pytest.raises(MappingError, match='wants the column "Received"'):
        load([path], tmp_path / "db", mapping=mapping_from(FLAT_MAPPING, "flat.toml"))


def test_an_unnamed_mapping_is_the_canonical_one():
    assert Mapping(name="canonical").date_order == ""


def test_a_nameplate_in_a_note_lets_a_capacitor_be_judged(tmp_path: Path):
    """A number in brackets is the nameplate: 29.8 of 35 µF is 85 %. Common practice, no source."""
    content = {**FLAT_MAPPING, "table": [{**FLAT_MAPPING["table"][0], "readings": {}}]}
    path = tmp_path / "flat.csv"
    path.write_text(
        FLAT.splitlines()[0] + "\n"
        "1,03/04/2026,03/05/2026,window ac,not cooling,Complete,Jo,5,S1,,,,cap 29.8 (35)\n",
        encoding="utf-8",
    )
    load([path], tmp_path / "db", mapping=mapping_from(content, "flat.toml"))
    row = measure(tmp_path / "db", "reading_distribution").iloc[0]
    assert row.test_point == "ac_run_capacitor_uf"
    assert row.n == 1
    judged = run(tmp_path / "db", "pages/job_timeline_readings", job_id="1").iloc[0]
    assert judged.zone == "outside"
