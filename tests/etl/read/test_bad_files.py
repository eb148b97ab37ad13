"""Every problem of the catalogue has a file, and that file gives that problem in one line."""

import tracemalloc
from contextlib import suppress
from pathlib import Path

import pytest

import sql
from etl.read import Limits, UnreadableFile, read_tables
from tests.bad_files.make import files as made_files

BAD_FILES = Path(__file__).parents[2] / "bad_files"
OF_ROWS = {"undecodable_bytes", "ragged_row", "broken_quotes", "broken_json_line"}
OF_PATHS = {"missing_file", "empty_folder", "is_a_directory", "symlink_loop", "no_permission"}
OF_PROCESSES = {"reader_died"}  # tests/trust/test_uploads.py
NARROW = {
    "too_large": Limits(max_file_bytes=59),
    "line_too_long": Limits(max_line_chars=2_000),
}
BAD_LINES = {
    "undecodable_bytes": 3,
    "ragged_row": 3,
    "broken_quotes": 3,
    "broken_json_line": 2,
}


def catalogue() -> dict[str, dict[str, str]]:
    return {row["code"]: row for row in sql.lookup("problem_codes_files")}


def bad_file(code: str) -> Path:
    (path,) = BAD_FILES.glob(f"{code}.*")
    return path


def refusal(path: Path, limits: Limits | None = None) -> UnreadableFile:
    with pytest.raises(UnreadableFile) as raised:
        read_tables(path, limits)
    return raised.value


@pytest.mark.parametrize("code", sorted(catalogue().keys() - OF_ROWS - OF_PATHS - OF_PROCESSES))
def test_a_bad_file_is_refused_by_its_name_and_problem(code):
    path = bad_file(code)
    error = refusal(path, NARROW.get(code))
    assert (error.file, error.problem) == (path.name, code)
    assert str(error).startswith(f"{path.name}: ")
    assert catalogue()[code]["remedy"] in str(error)
    assert str(error).endswith("nothing was changed")
    assert "\n" not in str(error)


@pytest.mark.parametrize("code", sorted(OF_ROWS))
def test_a_bad_row_is_named_and_the_others_are_read(code):
    (table,) = read_tables(bad_file(code))
    (bad,) = table.bad_rows
    assert (bad.code, bad.row_number) == (code, BAD_LINES[code])
    assert table.table.num_rows == 1
    assert bad.text
    assert len(bad.text) <= 200


def test_every_problem_has_a_title_a_meaning_and_a_remedy():
    for row in catalogue().values():
        assert all(value and "\n" not in value for value in row.values()), row


def test_the_files_are_those_that_the_script_writes():
    """All but workbooks, whose bytes hold the time of writing, and Parquet, its writer's version."""
    for name, content in made_files().items():
        if not name.endswith((".xlsx", ".parquet")):
            assert (BAD_FILES / name).read_bytes() == content, name


def test_a_bomb_is_refused_before_it_is_unpacked():
    """30 MB would be unpacked; refusing takes less than 3 MB."""
    tracemalloc.start()
    error = refusal(bad_file("zip_bomb"))
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert error.problem == "zip_bomb"
    assert peak < 3_000_000


def test_a_line_of_ten_million_columns_is_refused(tmp_path):
    path = tmp_path / "export.csv"
    path.write_bytes(b"a," * 10_000_000)
    error = refusal(path)
    assert error.problem == "line_too_long"
    assert "line 1 has 20,000,000 characters" in str(error)


def test_a_message_shows_no_cell(tmp_path):
    """A refusal or a bad row's repr could end in a log, and cells hold names and phone numbers."""
    row = b'1,Jane Doe,555-0100,"x\n'
    path = tmp_path / "export.csv"
    path.write_bytes(b"Ticket,Customer,Phone,Notes\n" + row * 2)
    assert "Doe" not in str(refusal(path))
    path.write_bytes(b"Ticket,Customer,Phone,Notes\n1,Jane Doe,555-0100,x\n2,John Roe,555-0101\n")
    (table,) = read_tables(path)
    assert table.bad_rows[0].text == "2,John Roe,555-0101"
    assert "Roe" not in repr(table.bad_rows)


@pytest.mark.parametrize(
    ("name", "content", "kind"),
    [
        ("jobs.xlsx", b"%PDF-1.7\n", "PDF"),
        ("jobs.csv", b"\x1f\x8b\x08\0\0\0", "gzip"),
        ("jobs.csv", b"\x89PNG\r\n\x1a\n\0", "picture"),
        ("jobs.csv", b"SQLite format 3\0", "SQLite"),
        ("jobs.txt", bytes(range(1, 32)) * 20, "no text"),
    ],
)
def test_a_file_of_another_kind_is_named_for_what_it_is(tmp_path, name, content, kind):
    path = tmp_path / name
    path.write_bytes(content)
    error = refusal(path)
    assert error.problem == "not_a_table"
    assert kind in str(error)


def test_a_letter_is_no_table(tmp_path):
    path = tmp_path / "letter.txt"
    path.write_text("Dear customer, dear neighbour,\nwe came.\nNobody was in.\nWe left.\nYours\n")
    error = refusal(path)
    assert error.problem == "not_a_table"
    assert "no row has the 3 fields of line 1" in str(error)


def test_reading_writes_nothing(tmp_path, monkeypatch):
    monkeypatch.setenv("TMPDIR", str(tmp_path))
    monkeypatch.chdir(tmp_path)
    for path in sorted(BAD_FILES.glob("*.*")):
        if path.suffix != ".py":
            with suppress(UnreadableFile):
                read_tables(path)
    assert list(tmp_path.iterdir()) == []
