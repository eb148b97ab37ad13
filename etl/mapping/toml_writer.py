"""A mapping as the TOML text that read_mapping reads again; comments of an earlier text stay."""

import re
from collections.abc import Mapping as Dictionary
from typing import Any

import tomlkit
from tomlkit.items import AoT, Table
from tomlkit.toml_document import TOMLDocument

from etl.mapping.mapping import Mapping, TableMapping

HABITS = (
    "title", "date_order", "decimal", "currency", "time_zone", "fold_case", "own_kinds",
    "numbering",
)  # fmt: skip
SECTIONS = ("columns", "first_of", "constants", "units", "readings")


def mapping_text(
    mapping: Mapping,
    remarks: Dictionary[tuple[str, str], str] | None = None,
    earlier: str = "",
) -> str:
    """Return the TOML text of a mapping; `remarks` are comments by (table, field).

    `earlier` is the text it replaces: its comments and its order stay where the keys do.
    """
    document = tomlkit.parse(earlier)
    defaults = Mapping(name="")
    plain = {"name": mapping.name}
    plain |= {k: v for k in HABITS if (v := getattr(mapping, k)) != getattr(defaults, k)}
    _put_plain(document, plain)
    _put_tables(document, mapping.tables)
    for table, item in zip(mapping.tables, document["table"], strict=True):
        _remark(item, table.table, remarks or {})
    words = {name: dict(meanings) for name, meanings in mapping.words.items() if meanings}
    _put(document, "words", words)
    return tomlkit.dumps(document)


def parsed(text: str) -> dict[str, Any]:
    """Return a TOML text as plain values."""
    return tomlkit.parse(text).unwrap()


def _put_plain(document: TOMLDocument, values: dict[str, Any]) -> None:
    """Set the keys before the first table; remove those that are back at their default."""
    for key in ("name", *HABITS):
        if key in values and key in document:
            _replace(document, key, values[key])
        elif key in document:
            document.remove(key)
    new = {key: value for key, value in values.items() if key not in document}
    if new:
        _insert_before_tables(document, new)


def _insert_before_tables(document: TOMLDocument, new: dict[str, Any]) -> None:
    rest = [(key, item) for key, item in document.body if key and isinstance(item, (AoT, Table))]
    for key, _ in rest:
        document.remove(key)
    for name, value in new.items():
        document.add(name, value)
    for key, item in rest:
        document.append(key, item)


def _put_tables(document: TOMLDocument, tables: tuple[TableMapping, ...]) -> None:
    """Set each [[table]] at its place."""
    if "table" not in document:
        document.append("table", tomlkit.aot())
    items = document["table"]
    while len(items) > len(tables):
        items.pop()
    for place, table in enumerate(tables):
        if place >= len(items):
            items.append(tomlkit.table())
        _put_table(items[place], table)


def _put_table(item: Table, table: TableMapping) -> None:
    plain = {
        "table": table.table,
        "files": list(table.files),
        "sheet": table.sheet,
        "header_row": table.header_row,
        "make_job_number": table.make_job_number or None,
    }
    for key, value in plain.items():
        if value is None and key in item:
            item.remove(key)
        elif value is not None:
            _replace(item, key, value)
    for section in SECTIONS:
        values = getattr(table, section)
        _put(item, section, {name: _value(value) for name, value in values.items()})


def _put(item: Any, section: str, values: dict[str, Any]) -> None:
    """Set the keys of a section; keys that are gone are removed, and the section without any."""
    if not values:
        if section in item:
            item.remove(section)
        return
    if section not in item:
        item.append(section, tomlkit.table())
    inner = item[section]
    for key in [key for key in inner if key not in values]:
        inner.remove(key)
    for key, value in values.items():
        if isinstance(value, dict):
            _put(inner, key, value)
        else:
            _replace(inner, key, value)


def _replace(item: Any, key: str, value: Any) -> None:
    """Set a value where it is another one: an unchanged one keeps how it was written."""
    if key not in item or _plain(item[key]) != value:
        comment = item[key].trivia.comment if key in item else ""
        item[key] = value
        if comment:
            item[key].comment(comment.lstrip("# "))


def _plain(item: Any) -> Any:
    value = item.unwrap() if hasattr(item, "unwrap") else item
    return str(value) if not isinstance(value, (str, bool, int, list, dict)) else value


def _value(names: str | tuple[str, ...]) -> Any:
    if isinstance(names, str):
        return names
    return names[0] if len(names) == 1 else list(names)


def _remark(item: Table, table: str, remarks: Dictionary[tuple[str, str], str]) -> None:
    for name in item.get("columns", {}):
        if remark := remarks.get((table, name)):
            item["columns"][name].comment(re.sub(r"[\x00-\x1f\x7f]", " ", remark))
