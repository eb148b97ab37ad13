"""JSON (an array of objects, or an object that holds such arrays) and JSON Lines."""

import json
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from typing import Any

from etl.read.encoding import BROKEN, decoded, repaired
from etl.read.json_nested import Numbered, split_nested
from etl.read.row_buffer import TextRows
from etl.read.source_table import TEXT_SHOWN, BadRow, Limits, SourceTable, UnreadableFile, unique

DEEPEST = 5
LINE_SUFFIXES = (".jsonl", ".ndjson")
RECORDS = "records"  # the sheet of records without a name, where they hold lists


def read_json(path: Path, content: bytes, limits: Limits) -> list[SourceTable]:
    """Read JSON or JSON Lines: nested objects flattened with dots, lists joined by "; ".

    A line or item that is no object is a bad row. Several lists in one object are one table each,
    the sheet named by the key; lists of objects inside records are tables of their own, the sheet
    named by their path. Raises UnreadableFile with the line of the first fault.
    """
    text = decoded(content).lstrip("\ufeff")
    fault: ValueError | None = None
    try:
        whole = None if path.suffix.lower() in LINE_SUFFIXES else _parsed(text)
    except ValueError as error:
        whole, fault = None, error
    if whole is None:
        return _tables(path.name, None, _lines(path.name, text, fault, limits), limits)
    if not isinstance(whole, (dict, list)):
        raise UnreadableFile(path.name, "not_a_table")
    lists = _lists(whole)
    tables = [
        table
        for sheet, items in lists
        for table in _tables(path.name, sheet, _numbered(items), limits, len(lists) == 1)
    ]
    return [replace(table, sheet_number=number) for number, table in enumerate(tables, start=1)]


def _numbered(items: list[Any]) -> list[Numbered]:
    return [(number, item, "") for number, item in enumerate(items, start=1)]


def _parsed(text: str) -> object:
    try:
        return json.loads(text, parse_float=str, parse_int=str, parse_constant=str)
    except RecursionError:
        raise ValueError("nested too deep") from None


def _tables(
    file: str, sheet: str | None, numbered: list[Numbered], limits: Limits, is_alone: bool = True
) -> list[SourceTable]:
    """Return the table of the records, then one for each list of objects inside them.

    The only table of a file needs no sheet name.
    """
    (_, records), *nested = split_nested(numbered).items()
    if not nested:
        return [_table(file, None if is_alone else sheet, records, limits)]
    inside = [
        replace(_table(file, f"{sheet}.{path}" if sheet else path, rows, limits), is_nested=True)
        for path, rows in nested
    ]
    return [_table(file, sheet or RECORDS, records, limits), *inside]


def _lists(whole: dict[str, Any] | list[Any]) -> list[tuple[str | None, list[Any]]]:
    if isinstance(whole, list):
        return [(None, whole)]
    lists: list[tuple[str | None, list[Any]]] = [
        (key, value)
        for key, value in whole.items()
        if isinstance(value, list) and value and all(isinstance(item, dict) for item in value)
    ]
    return lists or [(None, [whole])]


def _lines(file: str, text: str, fault: ValueError | None, limits: Limits) -> list[Numbered]:
    numbered: list[Numbered] = []
    for number, line in enumerate(text.split("\n"), start=1):
        if len(line) > limits.max_line_chars:
            raise UnreadableFile(file, "line_too_long", f"line {number:,}")
        if not line.strip():
            continue
        try:
            record = _parsed(line)
        except ValueError:
            record = None
        numbered.append((number, record, line[:TEXT_SHOWN]))
        if len(numbered) > limits.max_rows:
            raise UnreadableFile(file, "too_large", f"more than {limits.max_rows:,} rows")
    if not any(isinstance(record, dict) for _, record, _ in numbered):
        where = f"line {fault.lineno:,}" if isinstance(fault, json.JSONDecodeError) else ""
        raise UnreadableFile(file, "broken_json", where)
    return numbered


def _table(
    file: str, sheet: str | None, numbered: Iterable[Numbered], limits: Limits
) -> SourceTable:
    kept, bad_rows = [], []
    header: dict[str, None] = {}
    for number, record, text in numbered:
        if not isinstance(record, dict):
            bad_rows.append(BadRow(number, "broken_json_line", repaired(text)))
            continue
        row = _row(record)
        if any(BROKEN.search(cell) for cell in row.values() if cell):
            bad_rows.append(BadRow(number, "undecodable_bytes", repaired(text)))
            continue
        header |= dict.fromkeys(row)
        kept.append((number, row))
        if len(header) > limits.max_columns:
            raise UnreadableFile(
                file, "too_many_columns", f"{len(header):,} keys by row {number:,}"
            )
    if not kept:
        raise UnreadableFile(file, "not_a_table" if bad_rows else "empty_file")
    rows = TextRows(file, len(header), limits)
    for number, row in kept:
        rows.add(number, [row.get(name) for name in header])
    names, notes = unique([repaired(name) for name in header])
    table, numbers = rows.finish()
    return SourceTable(file, sheet, names, table, numbers, bad_rows, None, notes + rows.notes())


def _row(record: dict[str, Any]) -> dict[str, str | None]:
    row: dict[str, str | None] = {}
    for name, cell in _flat(record, ""):
        while name in row:  # {"a.b": 1, "a": {"b": 2}}: both are kept
            name += " (2)"
        row[name] = cell
    return row


def _flat(record: dict[str, Any], prefix: str) -> list[tuple[str, str | None]]:
    cells: list[tuple[str, str | None]] = []
    for key, value in record.items():
        name = prefix + key
        if isinstance(value, dict) and prefix.count(".") < DEEPEST:
            cells += _flat(value, f"{name}.")
        elif isinstance(value, list):
            cells.append((name, "; ".join(filter(None, map(_text, value))) or None))
        else:
            cells.append((name, _text(value)))
    return cells


def _text(value: object) -> str | None:
    if value is None or value == "":
        return None
    if isinstance(value, bool):
        return "true" if value else "false"
    return value if isinstance(value, str) else json.dumps(value, ensure_ascii=False)
