"""A mapping as the TOML text that read_mapping reads again."""

import json
from collections.abc import Mapping as Dictionary

from etl.mapping.mapping import Mapping, TableMapping


def mapping_text(mapping: Mapping, remarks: Dictionary[tuple[str, str], str] | None = None) -> str:
    """Return the TOML text of a mapping; `remarks` are comments by (table, field)."""
    lines = [f"name = {_quoted(mapping.name)}"]
    defaults = Mapping(name="")
    for key in (
        "title",
        "date_order",
        "decimal",
        "currency",
        "time_zone",
        "fold_case",
        "own_kinds",
        "numbering",
    ):
        value = getattr(mapping, key)
        if value != getattr(defaults, key):
            lines.append(f"{key} = {_value(value)}")
    for table in mapping.tables:
        lines += ["", *_table_lines(table, remarks or {})]
    for name, words in mapping.words.items():
        lines += ["", f"[words.{name}]"]
        lines += [f"{_quoted(word)} = {_quoted(id_)}" for word, id_ in words.items()]
    return "\n".join(lines) + "\n"


def _table_lines(table: TableMapping, remarks: Dictionary[tuple[str, str], str]) -> list[str]:
    lines = [
        "[[table]]",
        f"table = {_quoted(table.table)}",
        f"files = [{', '.join(_quoted(name) for name in table.files)}]",
    ]
    if table.sheet:
        lines.append(f"sheet = {_quoted(table.sheet)}")
    if table.header_row:
        lines.append(f"header_row = {table.header_row}")
    if table.make_job_number:
        lines.append("make_job_number = true")
    lines.append("[table.columns]")
    for name, headers in table.columns.items():
        shown = _quoted(headers[0]) if len(headers) == 1 else _list(headers)
        remark = remarks.get((table.table, name))
        lines.append(f"{name} = {shown}" + (f"  # {remark}" if remark else ""))
    if table.first_of:
        lines.append("[table.first_of]")
        lines += [f"{name} = {_list(headers)}" for name, headers in table.first_of.items()]
    for section, entries in (
        ("constants", table.constants),
        ("units", table.units),
        ("readings", table.readings),
    ):
        if entries:
            lines.append(f"[table.{section}]")
            keys = {_quoted(k): v for k, v in entries.items()} if section == "readings" else entries
            lines += [f"{key} = {_quoted(value)}" for key, value in keys.items()]
    return lines


def _value(value: object) -> str:
    return str(value).lower() if isinstance(value, bool) else _quoted(str(value))


def _list(texts: tuple[str, ...]) -> str:
    return f"[{', '.join(_quoted(text) for text in texts)}]"


def _quoted(text: str) -> str:
    """Write a TOML basic string: JSON's escapes are TOML's, but for the DEL character."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
