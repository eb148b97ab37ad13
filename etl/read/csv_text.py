"""Delimited text: comma, semicolon, tab or bar; UTF-8, UTF-16 or Windows-1252; RFC 4180 quotes."""

import csv
import io
from collections.abc import Iterator
from itertools import chain, islice
from pathlib import Path

from etl.read.csv_dialect import DELIMITERS, sniff_delimiter
from etl.read.csv_fast_path import sound_rows
from etl.read.csv_records import Record, records
from etl.read.encoding import encoding_of, is_sound_utf_8, repaired
from etl.read.header_row import LOOKED_AT, find_header
from etl.read.non_records import without_non_records
from etl.read.row_buffer import TextRows
from etl.read.source_table import BadRow, Limits, SourceTable, UnreadableFile, unique

SAMPLE_CHARACTERS = 1 << 16
RAGGED_FILE = 3  # with this many rows, none of which fits the header, the file is no table


def read_delimited(path: Path, content: bytes, limits: Limits) -> list[SourceTable]:
    """Read one delimited text file; ragged and undecodable rows come back as bad rows.

    Raises UnreadableFile for text that is no table, a quote never closed, a line too long.
    """
    usual_limit = csv.field_size_limit(limits.max_cell_chars)
    try:
        return [_read(path.name, content, limits)]
    finally:
        csv.field_size_limit(usual_limit)


def _read(file: str, content: bytes, limits: Limits) -> SourceTable:
    is_sound = is_sound_utf_8(content)
    encoding = "utf-8-sig" if is_sound else encoding_of(content)  # with or without the mark
    if encoding != "utf-16" and b"\0" in content:
        line = content.count(b"\n", 0, content.index(b"\0")) + 1
        raise UnreadableFile(file, "nul_bytes", f"line {line:,}")
    lines = _text(content, encoding)
    delimiter, first_line = _delimiter(lines.read(SAMPLE_CHARACTERS))
    lines = _text(content, encoding)
    if first_line == 2:
        lines.readline()
    found = records(file, lines, delimiter, limits, first_line)
    header, found, notes = _header(file, found, limits.header_row(None))
    if len(header.cells) > limits.max_columns:
        raise UnreadableFile(file, "too_many_columns", f"{len(header.cells):,} columns")
    names, name_notes = unique([repaired(name) for name in header.cells])
    notes += name_notes
    first_row = header.line + len(header.lines)
    if is_sound and (sound := sound_rows(content, first_row, len(names), delimiter, limits)):
        return without_non_records(SourceTable(file, None, names, *sound, notes=notes))
    rows = TextRows(file, len(names), limits)
    bad_rows, row_notes = _fill(file, rows, found, header, delimiter)
    return without_non_records(
        SourceTable(file, None, names, *rows.finish(), bad_rows, None, notes + row_notes)
    )


def _text(content: bytes, encoding: str) -> io.TextIOWrapper:
    return io.TextIOWrapper(io.BytesIO(content), encoding, "mark_broken", newline="")


def _delimiter(sample: str) -> tuple[str, int]:
    """Return the delimiter and the line where the table starts: spreadsheets may write "sep=;"."""
    first = sample.partition("\n")[0]
    if first.startswith("sep=") and first[4:].rstrip("\r") in tuple(DELIMITERS):
        return first[4], 2
    return sniff_delimiter(sample), 1


def _header(
    file: str, found: Iterator[Record], given: int | None
) -> tuple[Record, Iterator[Record], list[str]]:
    """Return the header, the records after it, and notes on the title lines before it.

    A header over two lines comes back as one record. Without a row of two names, the first with
    any is the header. `given` is its line if that is known.
    """
    first = list(islice(found, max(LOOKED_AT, given or 0)))
    named = [(sum(map(bool, map(str.strip, r.cells))), r) for r in first]
    if given:
        header, place = next((r for names, r in named if names and r.line == given), None), None
    else:
        place = find_header([r.cells for r in first])
        header = first[place.place] if place else next((r for names, r in named if names), None)
    if header is None:
        raise UnreadableFile(file, "empty_file", f"no header in line {given:,}" if given else "")
    if any(r.problem == "broken_quotes" for r in first if r.line < header.line):
        raise UnreadableFile(file, "unclosed_quote", f"above line {header.line:,}")
    titles = [r.line for names, r in named if names and r.line < header.line]
    notes = [f"line {line}, before the header, was left out" for line in titles]
    if place and place.rows > 1:
        lower = first[place.place + 1]
        notes.append(f"lines {header.line} and {lower.line} are the header")
        header = header._replace(lines=[*header.lines, *lower.lines], cells=place.names)
    after = [r for r in first if r.line >= header.line + len(header.lines)]
    return header, chain(after, found), notes


def _fill(
    file: str, rows: TextRows, found: Iterator[Record], header: Record, delimiter: str
) -> tuple[list[BadRow], list[str]]:
    """Sort records into rows and bad rows; raises UnreadableFile when none fits the header."""
    width = len(header.cells)
    bad_rows = []
    ragged = 0
    for record in found:
        cells, problem = _fitted(record.cells, width), record.problem
        if cells is None and not problem:
            if _swallows_rows(record, width, delimiter):
                where = f"from line {record.line:,}"
                raise UnreadableFile(file, "unclosed_quote", where)
            problem = "ragged_row"
            ragged += 1
        if problem:
            bad_rows.append(BadRow(record.line, problem, record.text))
        elif cells is not None and record.cells and not (width > 1 and record.cells == [""]):
            rows.add(record.line, cells)
    if ragged >= RAGGED_FILE and rows.is_empty:
        where = f"no row has the {width:,} fields of line {header.line:,}"
        raise UnreadableFile(file, "not_a_table", where)
    return bad_rows, rows.notes()


def _fitted(cells: list[str], width: int) -> list[str] | None:
    """Return the cells at the header's width; None when that would lose or invent one."""
    if len(cells) == width:
        return cells
    if not any(map(str.strip, cells[width:])) and len(cells) > width:
        return cells[:width]
    return None if any(map(str.strip, cells)) else [""] * width


def _swallows_rows(record: Record, width: int, delimiter: str) -> bool:
    """Say whether a ragged record over several lines holds what looks like whole rows."""
    return width > 1 and any(line.count(delimiter) == width - 1 for line in record.lines[1:-1])
