"""Delimited text: comma, semicolon, tab or bar; UTF-8, UTF-16 or Windows-1252; RFC 4180 quotes."""

import csv
import io
from pathlib import Path

import pyarrow as pa

from etl.read.source import BadRow, Limits, SourceTable, UnreadableFile, text_table, unique

DELIMITERS = ",;\t|"
UNDECODABLE = "\ufffd"


def read_delimited(path: Path, content: bytes, limits: Limits) -> list[SourceTable]:
    """Read one delimited text file; ragged and undecodable rows come back as bad rows."""
    text = decoded(path.name, content)
    if "\0" in text:
        raise UnreadableFile(path.name, "nul_bytes")
    delimiter = sniff_delimiter(text)
    csv.field_size_limit(limits.max_line_characters)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    header, rows, numbers, bad_rows = None, [], [], []
    first_line = 1
    try:
        for row in reader:
            line, first_line = first_line, reader.line_num + 1
            if not any(cell.strip() for cell in row):
                continue
            if header is None:
                header = unique(row)
                if len(header) > limits.max_columns:
                    raise UnreadableFile(path.name, "too_many_columns", f"{len(header)} columns")
            elif len(row) != len(header):
                bad_rows.append(BadRow(line, "ragged_row"))
            elif any(UNDECODABLE in cell for cell in row):
                bad_rows.append(BadRow(line, "undecodable_bytes"))
            else:
                rows.append(row)
                numbers.append(line)
    except csv.Error as error:
        problem = "line_too_long" if "field larger" in str(error) else "unclosed_quote"
        raise UnreadableFile(path.name, problem, f"from line {first_line}") from None
    if header is None:
        raise UnreadableFile(path.name, "empty_file")
    table = text_table(header, rows)
    return [SourceTable(path.name, None, header, table, pa.array(numbers, pa.int64()), bad_rows)]


def decoded(file: str, content: bytes) -> str:
    """Return the text of a file: by its byte order mark, else UTF-8, else Windows-1252.

    In a file that is mostly UTF-8, bytes that are not become U+FFFD; only their rows suffer.
    """
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        return content.decode("utf-16", errors="replace")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        as_utf8 = content.decode("utf-8-sig", errors="replace")
    bad = as_utf8.count(UNDECODABLE)
    good = sum(1 for character in as_utf8 if character > "\x7f") - bad
    if good > bad:
        return as_utf8
    try:
        return content.decode("cp1252")
    except UnicodeDecodeError:
        return as_utf8


def sniff_delimiter(text: str) -> str:
    """Return the delimiter that splits the first lines most evenly; a comma when none does."""
    sample = io.StringIO(text[:65536], newline="").read()
    scores = {}
    for delimiter in DELIMITERS:
        try:
            widths = [len(row) for row in _first_rows(sample, delimiter) if row]
        except csv.Error:
            continue
        if widths and widths[0] > 1:
            same = sum(width == widths[0] for width in widths) / len(widths)
            scores[delimiter] = (same, widths[0])
    return max(scores, key=scores.get, default=",")


def _first_rows(sample: str, delimiter: str) -> list[list[str]]:
    reader = csv.reader(io.StringIO(sample, newline=""), delimiter=delimiter)
    return [row for row, _ in zip(reader, range(50), strict=False)]
