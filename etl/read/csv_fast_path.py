"""The quick lane for delimited text without a fault: Arrow parses it, all or nothing.

It gives what the careful reader gives, or nothing at all: wherever the two could differ, the file
is for the careful one.
"""

import codecs

import numpy as np
import pyarrow as pa
import pyarrow.compute as pc
import pyarrow.csv

from etl.read.source_table import Limits

BLOCK_BYTES = 1 << 20  # a row never spans more than two: longer ones are for the careful reader
QUOTE = ord('"')
TEXT = pa.dictionary(pa.int32(), pa.string())  # words repeat: half the memory of plain text


def sound_rows(
    content: bytes, first_line: int, width: int, delimiter: str, limits: Limits
) -> tuple[pa.Table, pa.Array] | None:
    """Return the rows from a line of a UTF-8 text on, as columns c0, c1, …, and their line numbers.

    None unless every line is one row of `width` cells, quoted as in RFC 4180 where at all, within
    the limits, the last one with content. `content` must be sound UTF-8 without NUL.
    """
    if limits.max_line_chars < 2 * BLOCK_BYTES or content.count(b"\r") != content.count(b"\r\n"):
        return None
    start = _start_of(content, first_line)
    if start is None or not _is_soundly_quoted(content, start, delimiter):
        return None
    table = _parsed(content, start, width, delimiter)
    if table is None or not table.num_rows or table.num_rows > limits.max_rows:
        return None
    lines = content.count(b"\n", start) + (not content.endswith(b"\n"))
    if lines != table.num_rows or not _has_content(table, limits):
        return None
    return table, pa.array(np.arange(first_line, first_line + lines), pa.int64())


def _start_of(content: bytes, line: int) -> int | None:
    """Return where a line starts; None when there is none, or a byte order mark stands there."""
    start = 0
    for _ in range(line - 1):
        start = content.find(b"\n", start) + 1
        if not start:
            return None
    return None if content.startswith(codecs.BOM_UTF8, start) else start


def _is_soundly_quoted(content: bytes, start: int, delimiter: str) -> bool:
    """Say whether quotes open where a cell starts, close where it ends, and else come in pairs.

    Opening and closing ones alternate (RFC 4180, section 2, rules 5 to 7): of a pair inside a cell
    the first counts as closing and the second as opening, so each is next to a quote.
    """
    text = np.frombuffer(content, np.uint8)
    is_edge = np.isin(np.arange(256), [QUOTE, *b"\r\n", ord(delimiter)])
    is_open = 0
    for first in range(start, len(text), BLOCK_BYTES):
        quotes = np.flatnonzero(text[first : first + BLOCK_BYTES] == QUOTE) + first
        before = text[quotes[is_open::2] - 1]
        after = text[np.minimum(quotes[1 - is_open :: 2] + 1, len(text) - 1)]
        if not (is_edge[before].all() and is_edge[after].all()):
            return False
        is_open = (is_open + len(quotes)) % 2
    return not is_open


def _parsed(content: bytes, start: int, width: int, delimiter: str) -> pa.Table | None:
    names = [f"c{i}" for i in range(width)]
    try:
        return pyarrow.csv.read_csv(
            pa.BufferReader(pa.py_buffer(content).slice(start)),
            pyarrow.csv.ReadOptions(column_names=names, block_size=BLOCK_BYTES),
            pyarrow.csv.ParseOptions(delimiter=delimiter),
            pyarrow.csv.ConvertOptions(
                check_utf8=False,
                column_types=dict.fromkeys(names, TEXT),
                null_values=[""],
                strings_can_be_null=True,
            ),
        )
    except pa.ArrowInvalid:
        return None


def _has_content(table: pa.Table, limits: Limits) -> bool:
    """Say whether the last row has any cell filled and no cell is longer than allowed."""
    is_filled = any(column[-1].is_valid for column in table.columns)
    texts = (chunk.dictionary for column in table.columns for chunk in column.chunks)
    longest = max(pc.max(pc.binary_length(text)).as_py() or 0 for text in texts)
    return is_filled and longest <= limits.max_cell_chars
