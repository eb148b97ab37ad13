"""No cell that was taken for a header, no customer's name of a sheet or file comes into a message."""

import json
import shutil
from pathlib import Path

import openpyxl
import pytest

from dashboard.cli import main as cli
from etl.personal.redact_names import shown_columns, shown_file, shown_sheet
from tests.etl.read.test_workbook import cell, open_document, row

CANARIES = ("Marge", "Fenwick", "Quillstone", "555-0142", "fenwick@example.com")
ROW = ["J100", "2026-01-02", "2026-01-03", "washer", "leaks", "repaired"]
OLD_SHEETS = Path(__file__).parent / "files" / "personal_sheets.xls"
PERSON = ["Marge Fenwick", "7 Quillstone Lane", "212-555-0142", "fenwick@example.com"]
HEADER = ["job_id", "opened_on", "closed_on", "appliance_kind", "symptom", "disposition"]
LINES = ([*HEADER, *PERSON], [*ROW, *PERSON])


@pytest.mark.parametrize(
    ("name", "shown"),
    [
        ("jobs_2026-11-25.csv", None),
        ("export 20261125 1530.csv", None),
        ("tickets 2025-2026.xlsx", None),
        ("jobs (1).csv", None),
        ("jobs 212-555-0142.csv", "jobs ….csv"),
        ("7 Quillstone Lane jobs.xlsx", "… jobs.xlsx"),
        ("Quillstraße 7.csv", "….csv"),
        ("fenwick@example.com.csv", "….csv"),
    ],
)
def test_a_file_name_loses_contacts_and_addresses_only(name: str, shown: str | None):
    assert shown_file(name) == (shown or name)


def test_a_row_of_cells_is_no_header():
    shown = shown_columns([*ROW, *PERSON])
    assert not any(canary in text for text in shown for canary in CANARIES)
    assert sum(text.startswith("column ") for text in shown) >= 8


def test_the_names_of_a_header_are_shown_but_a_cell_among_them_is_not():
    shown = shown_columns(["Ticket", "Taken", "Closed", "Machine", "Says", "Bay", *PERSON])
    assert shown[:6] == ["Ticket", "Taken", "Closed", "Machine", "Says", "Bay"]
    assert shown[6:] == ["column 7", "column 8", "column 9", "column 10"]


def test_a_name_of_the_mapping_is_the_shops_own():
    assert shown_columns(["Auftrag", "Kunde"], ["auftrag"]) == ["Auftrag", "column 2"]


@pytest.mark.parametrize("name", ["Jobs", "Sheet1", "Tabelle 2", "March 2026", "Work orders"])
def test_a_sheet_named_in_words_of_the_trade_is_shown(name: str):
    assert shown_sheet(name, 3) == name


@pytest.mark.parametrize("name", ["Marge Fenwick", "Fenwick", "212-555-0142", "7 Quillstone Lane"])
def test_another_sheet_is_shown_by_its_place(name: str):
    assert shown_sheet(name, 3) == "sheet 3"


def csv(path: Path, *rows: list[str]) -> Path:
    path.write_text("\n".join(",".join(row) for row in rows) + "\n", encoding="utf-8")
    return path


def without_header(folder: Path) -> Path:
    return csv(folder / "a.csv", [*ROW, *PERSON], [*ROW, *PERSON])


def header_with_cells(folder: Path) -> Path:
    return csv(folder / "b.csv", *LINES)


def repeated_cells(folder: Path) -> Path:
    return csv(folder / "c.csv", [*HEADER, *PERSON, *PERSON], [*ROW, *PERSON, *PERSON])


def personal_file_name(folder: Path) -> Path:
    return csv(folder / "7 Quillstone Lane 212-555-0142.csv", HEADER, ROW)


def personal_sheets(folder: Path) -> Path:
    book = openpyxl.Workbook()
    for name, rows in (("Marge Fenwick", [HEADER, ROW]), ("Fenwick 0142", [PERSON, PERSON])):
        sheet = book.create_sheet(name)
        for line in rows:
            sheet.append(line)
    book.save(folder / "d.xlsx")
    return folder / "d.xlsx"


def personal_old_sheets(folder: Path) -> Path:
    """`personal_sheets.xls` was written with xlwt 1.3.0: the sheets of `personal_sheets`, and a
    third, "Jobs", whose header holds the cells of a person."""
    return shutil.copy(OLD_SHEETS, folder / "f.xls")


def personal_open_document(folder: Path) -> Path:
    lines = [row(*(cell("string", each) for each in line)) for line in LINES]
    content = open_document("".join(lines), sheet="Marge Fenwick")
    (folder / "g.ods").write_bytes(content)
    return folder / "g.ods"


def personal_keys(folder: Path) -> Path:
    job = dict(zip(HEADER, ROW, strict=True))
    content = {
        "Marge Fenwick": [job | {"Marge Fenwick": "x", "555-0142": {"7 Quillstone Lane": "y"}}],
        "Fenwick": [{"212-555-0142": "x"}],
    }
    (folder / "e.json").write_text(json.dumps(content), encoding="utf-8")
    return folder / "e.json"


def damaged(folder: Path) -> Path:
    path = folder / "fenwick@example.com.xlsx"
    path.write_bytes(b"PK\x03\x04 no workbook")
    return path


FILES = (
    without_header, header_with_cells, repeated_cells, personal_file_name, personal_sheets,
    personal_old_sheets, personal_open_document, personal_keys, damaged,
)  # fmt: skip


@pytest.mark.parametrize("write", FILES)
def test_no_command_and_no_version_holds_a_canary(write, tmp_path: Path, capsys):
    path, db = str(write(tmp_path)), tmp_path / "db"
    place = ["--db", str(db)]
    for arguments in (["load", "--check", path], ["load", path], ["load", path, "--json"]):
        cli.main([*arguments, *place])
    cli.main(["quarantine", "--out", str(tmp_path / "out"), *place])
    output = capsys.readouterr()
    kept = b"".join(file.read_bytes() for file in db.rglob("*") if file.is_file())
    kept += b"".join(str(file).encode() + file.read_bytes() for file in tmp_path.glob("out/*"))
    for canary in CANARIES:
        shown = output.out + output.err.replace(path, "")
        assert canary not in shown, shown
        assert canary.encode() not in kept
