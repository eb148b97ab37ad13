"""The shop's own limits and meters: two CSV files in the database folder, checked line by line."""

import csv
from datetime import date
from itertools import pairwise
from pathlib import Path

import duckdb
import pyarrow as pa

import sql
from etl.folder.regular_file import small_text
from etl.raw.store import LoadError

LIMITS, METERS = "limits.csv", "meters.csv"
OWN_COLUMNS = ("kind", "brand", "model", "nameplate", "valid_from", "valid_to")
BASES = (
    "absolute",
    "ratio_to_nameplate",
    "per_watt",
    "sum_rule",
    "qualitative",
    "no_number",
)
VERDICTS = ("pass", "doubtful", "fail", "na")
NUMBERS = ("low", "high", "fail_below", "fail_above", "ref_temp_cel", "nameplate")
METER_NUMBERS = ("accuracy_pct", "digits", "resolution", "counts", "lead_ohm")
ALLOWED = {
    "limit_basis": BASES,
    "open_verdict": VERDICTS,
    "zero_verdict": VERDICTS,
    "is_default": ("0", "1"),
    "confidence": ("strong", "medium", "weak"),
    "needs_nameplate": ("W", "V low", "V high", "A", "uF"),
    "needs_ambient": ("noted", "room", "not_noted"),
    "temp_model": ("none", "copper", "ntc_beta", "pt_iec60751"),
}
DEFAULTS = {
    "is_default": "1",
    "limit_basis": "absolute",
    "confidence": "medium",
    "source_class": "the shop's own",
}


class ShopTableError(LoadError):
    """A line of limits.csv or meters.csv that cannot be used; names file, line and column."""


def land_shop_tables(connection: duckdb.DuckDBPyConnection, folder: Path) -> None:
    """Create shop.limits and shop.meters from the folder's files, empty without them."""
    connection.execute("CREATE SCHEMA shop")
    connection.from_arrow(own_limits(folder)).create("shop.limits")
    connection.from_arrow(own_meters(folder)).create("shop.meters")


def own_limits(folder: Path) -> pa.Table:
    """Return the shop's limits as text, with line_no; no file gives no row.

    Columns are those of sql/lookups/tolerances.csv and kind, brand, model, nameplate, valid_from,
    valid_to. Raises ShopTableError.
    """
    register = [name for name in _register_columns("tolerances") if name != "kinds"]
    columns = (*register, *OWN_COLUMNS)
    rows = _rows(folder / LIMITS, columns)
    points = {row["test_point"]: row for row in sql.lookup("test_points")}
    kinds = tuple(row["kind"] for row in sql.lookup("kinds"))
    for row in rows:
        _check_limits(row, points, kinds)
    return _table(rows, columns)


def own_meters(folder: Path) -> pa.Table:
    """Return the shop's meters as text, with line_no; no file gives no row.

    Columns are those of sql/lookups/meters.csv. Raises ShopTableError.
    """
    columns = _register_columns("meters")
    rows = _rows(folder / METERS, columns)
    quantities = tuple(row["quantity"] for row in sql.lookup("meters"))
    for row in rows:
        where = f"{METERS}, line {row['line_no']}"
        _check_one_of(row, "quantity", quantities, where)
        row["lead_ohm"] = row["lead_ohm"] or "0"
        for column in METER_NUMBERS:
            if (_number(row, column, where) or 0) < 0 or not row[column]:
                raise ShopTableError(
                    f"{where}: column {column} is {row[column]!r}; wanted a number of 0 or more"
                )
    return _table(rows, columns)


def _check_limits(
    row: dict[str, str], points: dict[str, dict[str, str]], kinds: tuple[str, ...]
) -> None:
    where = f"{LIMITS}, line {row['line_no']}"
    row.update({column: row[column] or value for column, value in DEFAULTS.items()})
    if row["test_point"] not in points:
        raise ShopTableError(
            f"{where}: test point {row['test_point']!r} is not known; "
            "wanted an id as the readings page lists them"
        )
    unit = points[row["test_point"]]["unit_ucum"]
    if row["unit_ucum"] not in ("", unit):
        raise ShopTableError(
            f"{where}: column unit_ucum is {row['unit_ucum']!r}; this test point is in {unit}"
        )
    for column, words in (ALLOWED | {"kind": kinds}).items():
        if row[column]:
            _check_one_of(row, column, words, where)
    _check_scope(row, where)
    _check_order(row, where)


def _check_scope(row: dict[str, str], where: str) -> None:
    if row["brand"] and not row["kind"] and not row["model"]:
        raise ShopTableError(f"{where}: a brand needs its kind; fill column kind")
    first, last = (_day(row, column, where) for column in ("valid_from", "valid_to"))
    if first and last and first > last:
        raise ShopTableError(f"{where}: valid_from {first} is after valid_to {last}")


def _check_order(row: dict[str, str], where: str) -> None:
    """Limits must rise: fail_below, low, high, fail_above."""
    given = {column: _number(row, column, where) for column in NUMBERS}
    rising = [
        (column, number)
        for column in ("fail_below", "low", "high", "fail_above")
        if (number := given[column]) is not None
    ]
    for (left, lower), (right, upper) in pairwise(rising):
        if lower > upper:
            raise ShopTableError(
                f"{where}: {left} {row[left]} is above {right} {row[right]}; "
                "wanted fail_below ≤ low ≤ high ≤ fail_above"
            )


def _check_one_of(row: dict[str, str], column: str, words: tuple[str, ...], where: str) -> None:
    if row[column] not in words:
        raise ShopTableError(
            f"{where}: column {column} is {row[column]!r}; wanted one of {', '.join(words)}"
        )


def _number(row: dict[str, str], column: str, where: str) -> float | None:
    try:
        return float(row[column]) if row[column] else None
    except ValueError:
        raise ShopTableError(
            f"{where}: column {column} is {row[column]!r}; wanted a number with a decimal point"
        ) from None


def _day(row: dict[str, str], column: str, where: str) -> date | None:
    try:
        return date.fromisoformat(row[column]) if row[column] else None
    except ValueError:
        raise ShopTableError(
            f"{where}: column {column} is {row[column]!r}; wanted a day such as 2026-03-31"
        ) from None


def _rows(path: Path, columns: tuple[str, ...]) -> list[dict[str, str]]:
    """Read a CSV of the database folder; every column of `columns`, blank where it has none."""
    if not path.exists():
        return []
    try:
        reader = csv.DictReader(small_text(path).removeprefix("\ufeff").splitlines())
        excess = [name for name in reader.fieldnames or () if name not in columns]
        if excess:
            raise ShopTableError(
                f"{path.name}, line 1: unknown column {excess[0]!r}; known: {', '.join(columns)}"
            )
        return [
            {column: (row.get(column) or "").strip() for column in columns}
            | {"line_no": str(reader.line_num)}
            for row in reader
        ]
    except OSError as error:
        raise ShopTableError(f"{path.name}: cannot be read ({error.strerror})") from None
    except (UnicodeDecodeError, csv.Error) as error:
        raise ShopTableError(f"{path.name}: not a CSV file in UTF-8 ({error})") from None


def _table(rows: list[dict[str, str]], columns: tuple[str, ...]) -> pa.Table:
    schema = pa.schema([(name, pa.string()) for name in (*columns, "line_no")])
    return pa.Table.from_pylist([{k: v or None for k, v in row.items()} for row in rows], schema)


def _register_columns(name: str) -> tuple[str, ...]:
    return tuple(sql.lookup(name)[0])
