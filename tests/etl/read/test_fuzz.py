"""Whatever the bytes, a file is read or refused; see tests/fuzz_read.py for the long run."""

import struct
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from etl.read import UnreadableFile, read_tables
from etl.read.ole_guard import has_loop
from tests.fuzz_read import TELLING, made, outcome, seeds

OLD = Path(__file__).parent / "files" / "old_workbook.xls"
QUIET = settings(
    max_examples=300,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)


@QUIET
@given(content=st.binary(max_size=300), suffix=st.sampled_from([".csv", ".json", ".xls", ""]))
def test_any_bytes_are_read_or_refused(tmp_path, content, suffix):
    result = outcome(tmp_path, f"input{suffix}", content)
    assert not result.startswith("FAULT"), result


@QUIET
@given(pieces=st.lists(st.sampled_from([*TELLING, b"a", b" ", b"1"]), max_size=30))
def test_any_order_of_special_bytes_is_read_or_refused(tmp_path, pieces):
    result = outcome(tmp_path, "input.csv", b"".join(pieces))
    assert not result.startswith("FAULT"), result


@QUIET
@given(
    cells=st.lists(
        st.lists(st.text(st.characters(exclude_categories=["Cs", "Cc"], include_characters="\r\n\t")),
                 min_size=3, max_size=3),
        min_size=1, max_size=6,
    ),
    delimiter=st.sampled_from(",;\t|"),
)  # fmt: skip
def test_what_a_sound_writer_wrote_comes_back(tmp_path, cells, delimiter):
    """RFC 4180 written by Python's csv module, all fields quoted, against what is read."""
    import csv
    import io

    text = io.StringIO(newline="")
    writer = csv.writer(text, delimiter=delimiter, quoting=csv.QUOTE_ALL, lineterminator="\r\n")
    writer.writerows([["one", "two", "three"], *cells, ["the", "last", "row"]])
    path = tmp_path / "input.csv"
    path.write_bytes(text.getvalue().encode("utf-8-sig"))
    (table,) = read_tables(path)
    wanted = [[cell or None for cell in row] for row in cells]
    found = [list(row.values()) for row in table.table.to_pylist()]
    assert found == [*wanted, ["the", "last", "row"]]
    assert table.bad_rows == []


def test_damaged_files_of_every_format_are_read_or_refused(tmp_path):
    pool = seeds()
    results = [outcome(tmp_path, *made(number, pool)) for number in range(600)]
    assert [result for result in results if result.startswith("FAULT")] == []
    assert len(set(results)) > 8, "the inputs do not reach enough of the reader"


def test_an_old_workbook_whose_chain_leads_back_is_refused(tmp_path):
    """Sector 0 follows itself: the workbook reader would use up all memory."""
    content = bytearray(OLD.read_bytes())
    (table_sector,) = struct.unpack_from("<I", content, 76)
    struct.pack_into("<I", content, (table_sector + 1) * 512, 0)
    path = tmp_path / "old.xls"
    path.write_bytes(content)
    with pytest.raises(UnreadableFile, match="its sectors do not form chains"):
        read_tables(path)


@pytest.mark.parametrize(
    ("following", "is_loop"),
    [([], False), ([1, 2, 99], False), ([0], True), ([1, 2, 1], True), ([99, 2, 3, 2], True)],
)
def test_loops_are_found(following, is_loop):
    assert has_loop(following) is is_loop


def test_the_long_run_starts():
    run = subprocess.run(
        [sys.executable, "-m", "tests.fuzz_read", "40", "7"],
        cwd=Path(__file__).parents[3], capture_output=True, text=True, timeout=60,
    )  # fmt: skip
    assert run.returncode == 0, run.stdout
    assert "slowest: input" in run.stdout


def test_an_old_workbook_that_kills_its_reader_is_refused_and_the_next_one_is_read(tmp_path):
    """DIMENSIONS ([MS-XLS], 2.4.90) says that the first row comes after the last: the library
    reserves a negative number of rows, and its process ends.
    """
    content = bytearray(OLD.read_bytes())
    at = content.index(b"\x00\x02\x0e\x00")
    struct.pack_into("<II", content, at + 4, 42_000, 3)
    path = tmp_path / "old.xls"
    path.write_bytes(content)
    with pytest.raises(UnreadableFile) as refused:
        read_tables(path)
    assert refused.value.problem == "broken_workbook"
    assert "takes more memory than the limit" in refused.value.detail
    assert read_tables(OLD)[0].table.num_rows == 2


def test_a_reader_that_was_killed_is_replaced():
    from etl.read import isolated

    assert read_tables(OLD)[0].table.num_rows == 2
    isolated._idle[-1].end()
    assert read_tables(OLD)[0].table.num_rows == 2
