"""A mapping gives the row of a header that cannot be found: titles as wide as the table."""

from pathlib import Path

import openpyxl
import pytest

from etl.mapping import match
from etl.mapping.mapping import MappingError
from tests.ask import run
from tests.etl.exports import jobs_table, loaded, mapping, write

TITLES = "Report,Branch,Printed by,Valid for,Sorted by\nOpen list,Mill Lane,office,a week,unit\n"
HEADER = "Job,In,Out,Unit,End"
ROWS = "1,2026-03-02,2026-03-03,washer,repaired\n2,2026-03-04,2026-03-05,washer,repaired\n"
TEXT = f"{TITLES}{HEADER}\n{ROWS}"


def jobs(folder: Path) -> list[str]:
    return [str(job) for job in run(folder, "pages/jobs")["job_id"]]


def workbook(path: Path) -> Path:
    """Write a workbook whose second sheet has the titles, its first none."""
    book = openpyxl.Workbook()
    book.active.title = "People"
    for row in (["Name", "Since"], ["Ada", "2020"]):
        book.active.append(row)
    sheet = book.create_sheet("Jobs")
    for line in TEXT.splitlines():
        sheet.append(line.split(","))
    book.save(path)
    return path


def test_without_the_row_the_titles_are_taken_for_the_header(tmp_path):
    with pytest.raises(MappingError, match="wants the column"):
        loaded(write(tmp_path / "a.csv", TEXT), tmp_path / "db", mapping("elm", jobs_table()))


@pytest.mark.parametrize("kept", [match.KEPT_BYTES, 0])
def test_a_text_is_read_from_the_given_line_on(tmp_path, monkeypatch, kept):
    """Also where its rows are left in the file and read later."""
    monkeypatch.setattr(match, "KEPT_BYTES", kept)
    by = mapping("elm", jobs_table() | {"header_row": 3})
    account = loaded(write(tmp_path / "a.csv", TEXT), tmp_path / "db", by)
    (file,) = account.files
    assert (file.read, file.loaded) == (2, 2)
    assert jobs(tmp_path / "db") == ["2", "1"]


@pytest.mark.parametrize("kept", [match.KEPT_BYTES, 0])
def test_a_sheet_is_read_from_the_given_row_on_and_the_others_as_found(tmp_path, monkeypatch, kept):
    monkeypatch.setattr(match, "KEPT_BYTES", kept)
    by = mapping("elm", jobs_table() | {"header_row": 3, "sheet": "Jobs"})
    account = loaded(workbook(tmp_path / "a.xlsx"), tmp_path / "db", by)
    assert account.files[0].loaded == 2
    assert jobs(tmp_path / "db") == ["2", "1"]
    assert "a.xlsx, sheet 1" in account.unclaimed


def test_brackets_in_a_name_are_no_pattern_when_the_name_is_whole():
    (table,) = mapping("elm", jobs_table() | {"files": ["jobs [2].csv", "*.txt"]}).tables
    assert table.claims("Jobs [2].csv", None)
    assert table.claims("a.txt", None)
    assert not table.claims("jobs 2.csv.bak", None)


def test_a_later_export_without_the_titles_is_read_all_the_same(tmp_path):
    by = mapping("elm", jobs_table() | {"header_row": 3})
    account = loaded(write(tmp_path / "a.csv", f"{HEADER}\n{ROWS}"), tmp_path / "db", by)
    assert account.files[0].loaded == 2


def test_a_row_beyond_the_file_is_no_header(tmp_path):
    by = mapping("elm", jobs_table() | {"header_row": 30})
    with pytest.raises(MappingError, match="wants the column"):
        loaded(write(tmp_path / "a.csv", TEXT), tmp_path / "db", by)
