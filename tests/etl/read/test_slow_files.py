"""A small file cannot keep its reader busy for long, whatever it holds; a pipe or device never."""

import os
import time
import zipfile
from pathlib import Path

import openpyxl
import pytest

from etl.mapping.match import content_hash
from etl.read import Limits, UnreadableFile, isolated, read_tables


def far_cell(path: Path) -> Path:
    """Write a sheet of two cells, one far down and far right: 29 million between them."""
    book = openpyxl.Workbook()
    book.active.cell(1, 1, "a")
    book.active.cell(1, 2, "b")
    book.active.cell(1_800, 16_000, "c")
    book.save(path)
    return path


def test_two_cells_far_apart_are_refused_at_once(tmp_path: Path):
    started = time.monotonic()
    with pytest.raises(UnreadableFile, match=r"1,800 rows × 16,000 columns"):
        read_tables(far_cell(tmp_path / "far.xlsx"), Limits(max_columns=20_000))
    assert time.monotonic() - started < 20


def test_the_time_of_a_file_goes_by_its_size(tmp_path: Path):
    path = tmp_path / "small.csv"
    path.write_bytes(b"x" * 1000)
    assert isolated._seconds(path, Limits()) < 31
    with path.open("r+b") as file:
        file.truncate(500_000_000)
    assert isolated._seconds(path, Limits()) == Limits().max_seconds


def test_rows_that_repeat_without_end_end_in_time(tmp_path: Path, monkeypatch):
    monkeypatch.setattr(isolated, "LEAST_SECONDS", 5)
    content = (
        '<office:document-content xmlns:office="o" xmlns:table="t" xmlns:text="x"><office:body>'
        '<office:spreadsheet><table:table table:name="Jobs"><table:table-row '
        'table:number-rows-repeated="1000000"><table:table-cell '
        'table:number-columns-repeated="100" office:value-type="string"><text:p>a</text:p>'
        "</table:table-cell></table:table-row></table:table></office:spreadsheet></office:body>"
        "</office:document-content>"
    )
    path = tmp_path / "rows.ods"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        archive.writestr("content.xml", content)
    started = time.monotonic()
    try:
        read_tables(path)
    except UnreadableFile as refused:
        assert "\n" not in str(refused)
    assert time.monotonic() - started < 40


@pytest.mark.parametrize("kind", ["pipe", "zero", "sparse"])
def test_hashing_ends_for_what_has_no_end(kind: str, tmp_path: Path):
    path = {"pipe": tmp_path / "jobs.csv", "zero": Path("/dev/zero"), "sparse": tmp_path / "b.csv"}[
        kind
    ]
    if kind == "pipe":
        os.mkfifo(path)
    if kind == "sparse":
        path.touch()
        os.truncate(path, 1 << 40)
    started = time.monotonic()
    with pytest.raises(UnreadableFile):
        content_hash(path)
    assert time.monotonic() - started < 2
