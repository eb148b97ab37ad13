"""Jobs that hold lists of visits, parts or readings → one table for each list, by its path."""

from collections.abc import Iterable
from typing import Any

Record = dict[str, Any]
Numbered = tuple[int, object, str]  # row number, record, the start of its text
Tables = dict[str, list[Numbered]]
DEEPEST_LIST = 3  # a job's visits' parts
LONGEST_REPEATED = 80  # characters of a parent's value that is repeated with each of its items
TEXT_SHOWN = 200


def split_nested(numbered: Iterable[Numbered]) -> Tables:
    """Return the records under "" without their lists of objects, and each list under its path.

    An item carries the plain values of what holds it, under their own names, and its own values
    under its path: "visits.arrived". Items are numbered through the file.
    """
    tables: Tables = {"": []}
    for number, record, text in numbered:
        if isinstance(record, dict):
            record = _without_lists(record, "", {}, tables, 1)
        tables[""].append((number, record, text))
    for _, record, _ in tables[""]:
        if isinstance(record, dict):  # a job without parts has no column of parts either
            for path in [path for path in tables if record.get(path) == []]:
                del record[path]
    return tables


def _without_lists(record: Record, path: str, above: Record, tables: Tables, depth: int) -> Record:
    """Return the record without its lists of objects, whose items are added to their tables."""
    kept: Record = {}
    lists: list[tuple[str, list[Any]]] = []
    for key, value in record.items():
        if isinstance(value, list) and any(isinstance(item, dict) for item in value):
            lists.append((key, value))
        elif isinstance(value, dict) and depth == 1:
            kept[key] = _without_lists(value, f"{path}{key}.", above, tables, depth + 1)
        else:
            kept[key] = value
    plain = above | {f"{path}{key}": v for key, v in kept.items() if _is_repeated(v)}
    for key, items in lists:
        place = f"{path}{key}"
        if place.count(".") >= DEEPEST_LIST:
            kept[key] = items
            continue
        for item in items:
            _add(item, place, plain, tables, depth)
    return kept


def _add(item: object, place: str, plain: Record, tables: Tables, depth: int) -> None:
    rows = tables.setdefault(place, [])
    if not isinstance(item, dict):
        rows.append((len(rows) + 1, item, str(item)[:TEXT_SHOWN]))
        return
    number = len(rows) + 1
    rows.append((number, None, ""))  # its place is kept before the lists inside it are walked
    own = _without_lists(item, f"{place}.", plain, tables, depth + 1)
    rows[number - 1] = (number, plain | {f"{place}.{key}": v for key, v in own.items()}, "")


def _is_repeated(value: object) -> bool:
    return isinstance(value, (str, int, float)) and len(str(value)) <= LONGEST_REPEATED
