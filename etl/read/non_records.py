"""Rows of a sheet that are no records: sums below or between, remarks in a single cell."""

import re
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pyarrow as pa
import pyarrow.compute as pc

from etl.read.source_table import SourceTable

SUMS = re.compile(
    r"((sub|(\w+ ){0,2})totals?|sums?|(zwischen|gesamt|monats)?summen?|gesamt|sommes?|"
    r"(sous[- ])?(total|totaux))( .*)?|insgesamt|average|mean|durchschnitt|moyenne|count|anzahl|"
    r"nombre",
    re.IGNORECASE,
)
NARROW = 0.6  # of the usual filled cells: a row of sums has fewer
LEAST_COLUMNS = 4
SHOWN = 5


def without_non_records(source: SourceTable) -> SourceTable:
    """Return the table without rows of sums, remarks and repeated headers, which its notes list.

    A lone cell with a digit and no blank may be a record's own number: its row stays.
    """
    if source.is_head or source.table.num_columns < LEAST_COLUMNS or not source.table.num_rows:
        return source
    filled = _filled(source.table)
    narrow = np.flatnonzero((filled > 0) & (filled < NARROW * np.median(filled)))
    sums, remarks = [], []
    for row in narrow:
        cells = [c for c in (column[row.item()].as_py() for column in source.table.columns) if c]
        if SUMS.fullmatch(cells[0].strip().rstrip(":")):
            sums.append(row)
        elif len(cells) == 1 and _is_remark(cells[0]):
            remarks.append(row)
    headers = _repeated_headers(source)
    left_out = np.array([*sums, *remarks, *headers], dtype=int)
    if not len(left_out):
        return source
    keep = np.ones(source.table.num_rows, dtype=bool)
    keep[left_out] = False
    notes = [
        *_note(source, sums, "sums"),
        *_note(source, remarks, "a remark in a single cell"),
        *_note(source, headers, "the header again"),
    ]
    return replace(
        source,
        table=source.table.filter(pa.array(keep)),
        row_numbers=source.row_numbers.filter(pa.array(keep)),
        notes=[*source.notes, *notes],
    )


def _repeated_headers(source: SourceTable) -> list[np.int64]:
    """Return the rows that say the header again, as each printed page does."""
    columns = list(zip(source.header, source.table.columns, strict=True))
    same = [pc.fill_null(pc.equal(column, name), False).to_numpy() for name, column in columns[:2]]
    return [
        row
        for row in np.flatnonzero(same[0] & same[1])
        if all(column[row.item()].as_py() in (None, "", name) for name, column in columns)
    ]


def _filled(table: pa.Table) -> np.ndarray:
    """Count the filled cells of each row."""
    counts = np.zeros(table.num_rows, dtype=np.int32)
    for column in table.columns:
        counts += pc.is_valid(column).to_numpy()
    return counts


def _is_remark(cell: str) -> bool:
    return " " in cell.strip() or not any(sign.isdigit() for sign in cell)


def _note(source: SourceTable, rows: Sequence[np.int64], what: str) -> list[str]:
    if not rows:
        return []
    numbers = [str(source.row_numbers[row.item()].as_py()) for row in rows[:SHOWN]]
    more = f" and {len(rows) - SHOWN:,} more" if len(rows) > SHOWN else ""
    named = ("rows " if len(rows) > 1 else "row ") + ", ".join(numbers) + more
    held = "hold" if len(rows) > 1 else "holds"
    return [f"{named} {held} {what}, not a record: left out"]
