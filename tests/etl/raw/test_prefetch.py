"""Files are claimed by their head, read when their turn comes, and dropped."""

from pathlib import Path

import duckdb
import pytest
from openpyxl import Workbook

from etl.mapping import match as claim
from etl.mapping.match import claims_of
from etl.raw import prefetch as claimed_rows
from etl.raw.store import LoadError, copy_raw, land_all
from etl.read import Limits, SourceTable, formats
from etl.read.formats import heads_of, tables_of

SECRET = b"k" * 32
JOBS = [
    "job_id,opened_on,appliance_kind,disposition,customer",
    "1,2026-01-02,washer,repaired,Jo Canaryname",
    "2,2026-01-03,dryer,repaired,Al Canaryother",
]


@pytest.fixture
def files(tmp_path: Path) -> list[Path]:
    """Two text files and a workbook of two sheets, in our own names."""
    paths = []
    for name in ("jobs_1.csv", "jobs_2.csv"):
        paths.append(tmp_path / name)
        paths[-1].write_text("\n".join([*JOBS, f"{name},2026-01-04"]) + "\n", encoding="utf-8")
    workbook = Workbook()
    for sheet, rows in {
        "jobs": JOBS,
        "readings": ["job_id,test_point,value", "1,heating element,9.4", "2,heating element,OL"],
    }.items():
        workbook.create_sheet(sheet)
        for row in rows:
            workbook[sheet].append(row.split(","))
    paths.append(tmp_path / "book.xlsx")
    workbook.save(paths[-1])
    return paths


def claims(paths: list[Path]) -> list[claim.Claim]:
    found, unclaimed = claims_of(paths, None, Path("none"), lambda step: None)
    assert unclaimed == []
    return found


def landed(found: list[claim.Claim]) -> list[list[tuple]]:
    """Return every raw row that the claims give, in order."""
    with duckdb.connect() as connection:
        copy_raw(connection, None)
        land_all(connection, found, SECRET, None)
        return [
            connection.table(table).order("ALL").fetchall()
            for table in ("raw.jobs", "raw.readings", "raw.bad_rows", "raw.sources")
        ]


def test_rows_left_in_their_files_land_like_rows_kept(files, monkeypatch):
    kept = claims(files)
    assert not any(each.source.is_head for each in kept)
    monkeypatch.setattr(claim, "KEPT_BYTES", 0)
    left = claims(files)
    assert all(each.source.is_head and not each.source.table.nbytes for each in left)
    rows = landed(left)
    assert rows == landed(kept)
    assert [len(table) for table in rows] == [6, 2, 2, 4]  # each text file has a ragged row


def test_a_workbook_left_for_later_is_read_once_for_all_its_sheets(files, monkeypatch):
    read: list[str] = []
    whole = claimed_rows.read_tables
    monkeypatch.setattr(claim, "KEPT_BYTES", 0)
    monkeypatch.setattr(
        claimed_rows,
        "read_tables",
        lambda path, limits: read.append(path.name) or whole(path, limits),
    )
    landed(claims(files))
    assert read == ["book.xlsx", "jobs_1.csv", "jobs_2.csv"]


def test_landing_leaves_counts_and_notes_but_no_row_in_memory(files):
    found = claims(files)
    landed(found)
    assert [each.row_count for each in found] == [2, 2, 3, 3]
    assert all(each.source.is_head and each.source.table.num_rows == 0 for each in found)


def test_a_file_known_already_is_not_read_again(files, monkeypatch):
    monkeypatch.setattr(claim, "KEPT_BYTES", 0)
    with duckdb.connect() as connection:
        copy_raw(connection, None)
        land_all(connection, claims(files), SECRET, None)
        monkeypatch.setattr(claimed_rows, "read_tables", None)  # calling it would raise
        _, repeated = land_all(connection, claims(files), SECRET, None)
    assert [each.row_count for each in repeated] == [2, 2, 3, 3]


def test_a_file_that_changes_after_it_was_claimed_is_refused(files, monkeypatch):
    monkeypatch.setattr(claim, "KEPT_BYTES", 0)
    found = claims(files)
    files[0].write_text("\n".join(JOBS), encoding="utf-8")
    with pytest.raises(LoadError, match=r"jobs_1\.csv: the file was changed while it was read"):
        landed(found)


@pytest.fixture
def all_are_large(monkeypatch):
    """Take every file for a large one whose head is 64 bytes."""
    monkeypatch.setattr(formats, "SMALL_BYTES", 0)
    monkeypatch.setattr(formats, "HEAD_BYTES", 64)


def heads(folder: Path, content: bytes, name: str = "input.csv") -> list[SourceTable]:
    path = folder / name
    path.write_bytes(content)
    return heads_of(path, Limits())


ROWS = b"1;2026-03-02;9.4\n" * 20


@pytest.mark.usefixtures("all_are_large")
@pytest.mark.parametrize("start", [b"", b"\xef\xbb\xbf", b"Closed jobs\n\n"])
def test_the_head_of_a_large_text_gives_the_tables_of_the_whole(tmp_path, start):
    (head,) = heads(tmp_path, start + b"Ticket;Opened;Ohms\n" + ROWS)
    (whole,) = tables_of(tmp_path / "input.csv", Limits())
    assert head.is_head
    assert not whole.is_head
    assert (head.file, head.sheet, head.header) == (whole.file, whole.sheet, whole.header)
    assert (head.row_count, whole.row_count) == (0, 20)


NOT_BY_THE_HEAD = {
    "JSON Lines": ("input.jsonl", b'{"a": 1, "b": 2}\n' * 9 + b'{"c": 3}\n'),
    "JSON by content": ("input.csv", b'[{"a": 1, "b": 2},\n' + b'{"a": 1, "b": 2},\n' * 9 + b'{"c": 3}]'),
    "two bytes a character": ("input.csv", ("a,b\n" + "1,2\n" * 40).encode("utf-16")),
    "a name that another encoding reads otherwise": ("input.csv", "Käufer;b\n".encode() + b"1;2\n" * 40),
    "a cell that the head cuts": ("input.csv", b'a,b\n1,"' + b"x\n" * 60 + b'"\n'),
}  # fmt: skip


@pytest.mark.usefixtures("all_are_large")
@pytest.mark.parametrize("what", NOT_BY_THE_HEAD)
def test_a_text_with_an_uncertain_head_is_read_whole(tmp_path, what):
    name, content = NOT_BY_THE_HEAD[what]
    (table,) = heads(tmp_path, content, name)
    assert not table.is_head
    assert table.row_count > 0


def test_a_small_file_is_read_whole_at_once(tmp_path):
    (table,) = heads(tmp_path, b"a,b\n" + b"1,2\n" * 40)
    assert table.table.num_rows == 40
