"""Columns with their truth → files; a truth may allow several fields, "" is a column not used."""

import csv
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import openpyxl

Column = tuple[str, str, Callable[[Any], Any]]  # header, "field|other field", row → cell


@dataclass(frozen=True)
class Truth:
    """What one table of an export holds, and which column is which field."""

    file: str
    sheet: str | None
    table: str
    columns: dict[str, str]


@dataclass(frozen=True)
class Export:
    """One shop's export: writes its files into a folder, and knows what they mean."""

    name: str
    write: Callable[[Path], list[Truth]]
    date_order: str = ""
    decimal: str = "."


def truth(file: str, table: str, columns: Iterable[Column], sheet: str | None = None) -> Truth:
    """Return the truth of a table by its columns."""
    return Truth(file, sheet, table, {header: field for header, field, _ in columns})


def csv_file(
    path: Path,
    columns: list[Column],
    rows: Iterable,
    delimiter: str = ",",
    encoding: str = "utf-8",
    above: Iterable[list[str]] = (),
    below: Iterable[list[str]] = (),
) -> None:
    """Write delimited text; `above` and `below` are lines around the table."""
    with path.open("w", encoding=encoding, newline="") as file:
        writer = csv.writer(file, delimiter=delimiter)
        writer.writerows(above)
        writer.writerow(header for header, _, _ in columns)
        writer.writerows([cell(row) for _, _, cell in columns] for row in rows)
        writer.writerows(below)


def sheet(
    book: openpyxl.Workbook,
    title: str,
    columns: list[Column],
    rows: Iterable,
    above: Iterable[list] = (),
    below: Iterable[list] = (),
) -> None:
    """Add a sheet to a workbook."""
    page = book.create_sheet(title)
    for line in above:
        page.append(line)
    page.append([header for header, _, _ in columns])
    for row in rows:
        page.append([cell(row) for _, _, cell in columns])
    for line in below:
        page.append(line)


def book() -> openpyxl.Workbook:
    """Return a workbook without any sheet."""
    empty = openpyxl.Workbook()
    empty.remove(empty.active)
    return empty


def comma(amount: float, symbol: str = "") -> str:
    """Write an amount as the continent does: 1.234,50 €."""
    text = f"{amount:,.2f}".replace(",", " ").replace(".", ",").replace(" ", ".")
    return text + symbol
