"""The quick lane gives what the careful reader gives, or nothing."""

from pathlib import Path
from unittest.mock import patch

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from etl.read import Limits, SourceTable, UnreadableFile
from etl.read import csv_fast_path as sound
from etl.read import csv_text as delimited
from etl.read.csv_text import read_delimited

CAREFUL = patch.object(delimited, "sound_rows", lambda *arguments: None)
SMALL_BLOCKS = patch.object(sound, "BLOCK_BYTES", 16)
QUIET = settings(max_examples=1_500, deadline=None, derandomize=True)


def read(content: bytes, limits: Limits | None = None) -> dict | tuple:
    """Return everything that the reader gives for a text, or why it refuses it."""
    try:
        (table,) = read_delimited(Path("export.csv"), content, limits or Limits())
    except UnreadableFile as refusal:
        return refusal.problem, refusal.detail
    return content_of(table)


def content_of(table: SourceTable) -> dict:
    """Return the table as plain values; BadRow leaves its text out of ==."""
    return {
        "header": table.header,
        "rows": [list(row.values()) for row in table.table.to_pylist()],
        "numbers": table.row_numbers.to_pylist(),
        "bad": [(bad.row_number, bad.code, bad.text) for bad in table.bad_rows],
        "notes": table.notes,
    }


def carefully(content: bytes, limits: Limits | None = None) -> dict | tuple:
    """Read without the quick lane."""
    with CAREFUL:
        return read(content, limits)


PIECES = st.sampled_from(
    ["a", "12", " ", '"', '""', '","', '"\n"', ",", ",", ";", "\n", "\n", "\r\n", "\r", "'", "Ω",
     "\ufeff", "\x0b", "\u2028", "\x85", "x" * 20, '"a"', '"b,c"']
)  # fmt: skip


@QUIET
@given(pieces=st.lists(PIECES, max_size=40))
@example(["a", ",", '"\n"'])
def test_both_lanes_read_any_text_alike(pieces):
    """Blocks of 16 bytes: rows, quotes and characters cross their borders all the time."""
    content = ("h,i\n1,2\n" + "".join(pieces)).encode()
    with SMALL_BLOCKS:
        found = read(content)
    assert found == carefully(content)
    assert read(content) == found


CELL = st.text(st.sampled_from('ab1 ",;\n\r\tΩ'), max_size=4)


@QUIET
@given(
    rows=st.lists(st.lists(CELL, min_size=3, max_size=3), min_size=1, max_size=8),
    quotes=st.sampled_from(["all", "needed", "none"]),
    end=st.sampled_from(["\n", "\r\n"]),
    is_ended=st.booleans(),
    is_marked=st.booleans(),
)
def test_both_lanes_read_what_writers_write_alike(rows, quotes, end, is_ended, is_marked):
    lines = [",".join(written(cell, quotes) for cell in row) for row in [["x", "y", "z"], *rows]]
    text = end.join(lines) + (end if is_ended else "")
    content = text.encode("utf-8-sig" if is_marked else "utf-8")
    with SMALL_BLOCKS:
        assert read(content) == carefully(content)


def written(cell: str, quotes: str) -> str:
    """Write a cell as RFC 4180 wants it, or bare although it should not be."""
    is_quoted = quotes == "all" or (quotes == "needed" and any(sign in cell for sign in '",\n\r'))
    return '"' + cell.replace('"', '""') + '"' if is_quoted else cell


SOUND = {
    "plain": b"a,b\n1,2\n3,\n",
    "quoted": b'"a","b"\r\n"1","x, ""y"""\r\n"3",""\r\n',
    "without a last line end": b"a;b\n1;2\n3;4",
    "rows without content inside": b"a,b\n,\n1,2\n",
    "one column": b"a\n1\n2\n",
    "titles above": b"Closed jobs\n\na,b\n1,2\n",
    "a mark": b"\xef\xbb\xbfa\tb\n\xce\xa9\t2\n",
}
UNSOUND = {
    "ragged": b"a,b\n1\n",
    "stray quote": b'a,b\n1,"x"y\n',
    "inch mark": b'a,b\n1,12" drum\n',
    "two inch marks": b'a,b\n1,12" or 13" drum\n',
    "two lines in a cell": b'a,b\n1,"x\ny"\n',
    "blank line": b"a,b\n1,2\n\n3,4\n",
    "fill at the end": b"a,b\n1,2\n,\n",
    "old line ends": b"a,b\n1,2\r3,4\n",
    "broken bytes": b"a,b\n1,\xff\n",
    "mark inside": b"a,b\n\xef\xbb\xbf1,2\n",
    "delimiters left over": b"a,b\n1,2,\n",
}


def lane_of(content: bytes, limits: Limits | None = None) -> str:
    """Return which lane read a text."""
    results = []

    def noted(*arguments):
        results.append(sound.sound_rows(*arguments))
        return results[-1]

    with patch.object(delimited, "sound_rows", noted):
        read(content, limits)
    return "quick" if results and results[-1] else "careful"


@pytest.mark.parametrize("what", SOUND)
def test_sound_text_takes_the_quick_lane(what):
    assert lane_of(SOUND[what]) == "quick"
    assert read(SOUND[what]) == carefully(SOUND[what])


def test_quotes_may_open_in_one_block_and_close_in_the_next():
    with SMALL_BLOCKS:
        assert lane_of(b"a,b\n" + b'"12345","x ""y"""\n' * 9) == "quick"


@pytest.mark.parametrize("what", UNSOUND)
def test_unsound_text_is_read_with_care(what):
    assert lane_of(UNSOUND[what]) == "careful"


@pytest.mark.parametrize(
    "limits", [Limits(max_rows=1), Limits(max_cell_chars=3), Limits(max_line_chars=10)]
)
def test_limits_hold_in_both_lanes(limits):
    content = b"a,b\n1,2\n3,abcdef\n"
    assert lane_of(content, limits) == "careful"
    assert read(content, limits) == carefully(content, limits)


def test_a_line_longer_than_two_blocks_is_read_with_care():
    limits = Limits(max_cell_chars=4_000_000)
    content = b"a,b\n1,2\n3," + b"x" * 2_700_000 + b"\n"
    assert lane_of(content, limits) == "careful"
    assert read(content, limits)["numbers"] == [2, 3]
