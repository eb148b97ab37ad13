"""JSON (an array of objects, or an object that holds one) and JSON Lines."""

import json
from pathlib import Path

import pyarrow as pa

from etl.read.delimited import decoded
from etl.read.source import BadRow, Limits, SourceTable, UnreadableFile, text_table, unique


def read_json(path: Path, content: bytes, limits: Limits) -> list[SourceTable]:
    """Read JSON or JSON Lines; nested objects are flattened, a line that is none is a bad row."""
    text = decoded(path.name, content)
    whole = _parsed(text)
    if isinstance(whole, dict):
        lists = [value for value in whole.values() if isinstance(value, list)]
        records = lists[0] if len(lists) == 1 else [whole]
        numbered = list(enumerate(records, start=1))
    elif isinstance(whole, list):
        numbered = list(enumerate(whole, start=1))
    else:
        numbered = [
            (number, _parsed(line))
            for number, line in enumerate(text.splitlines(), start=1)
            if line.strip()
        ]
    return [_table(path.name, numbered, limits)]


def _parsed(text: str) -> object:
    try:
        return json.loads(text, parse_float=str, parse_int=str)
    except (ValueError, RecursionError):
        return None


def _table(file: str, numbered: list[tuple[int, object]], limits: Limits) -> SourceTable:
    rows, numbers, bad_rows = [], [], []
    header: dict[str, None] = {}
    for number, record in numbered:
        if not isinstance(record, dict):
            bad_rows.append(BadRow(number, "broken_json_line"))
            continue
        row = dict(_flat(record))
        header |= dict.fromkeys(row)
        rows.append(row)
        numbers.append(number)
    if not rows:
        raise UnreadableFile(file, "broken_json" if bad_rows else "empty_file")
    if len(header) > limits.max_columns:
        raise UnreadableFile(file, "too_many_columns", f"{len(header)} columns")
    names = list(header)
    table = text_table(names, ([row.get(name) for name in names] for row in rows))
    return SourceTable(file, None, unique(names), table, pa.array(numbers, pa.int64()), bad_rows)


def _flat(record: dict, prefix: str = "") -> list[tuple[str, str | None]]:
    cells: list[tuple[str, str | None]] = []
    for key, value in record.items():
        name = prefix + str(key)
        if isinstance(value, dict) and prefix.count(".") < 5:
            cells += _flat(value, f"{name}.")
        elif isinstance(value, list):
            cells.append((name, "; ".join(_text(item) or "" for item in value) or None))
        else:
            cells.append((name, _text(value)))
    return cells


def _text(value: object) -> str | None:
    if value is None or value == "":
        return None
    if isinstance(value, bool):
        return "true" if value else "false"
    return value if isinstance(value, str) else json.dumps(value, ensure_ascii=False)
