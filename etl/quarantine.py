"""What waits in quarantine, in the source's own columns with the reasons, ready to be mended."""

import csv
import io
import json
import re
from dataclasses import dataclass
from pathlib import Path

import duckdb

import sql
from etl import publish

FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n")
NUMBER = re.compile(r"^[-+]?[\d.,]+$")
MENDS, REASONS = "mends", "reasons"


@dataclass(frozen=True)
class WaitingTable:
    """The waiting rows of one source: its own header, then `mends` and `reasons`."""

    file: str
    sheet: str | None
    table: str
    header: list[str]
    rows: list[list[str]]

    @property
    def file_name(self) -> str:
        """Return the name of the file to mend: the source's, with the sheet, as CSV."""
        stem = Path(self.file).stem + (f"_{self.sheet}" if self.sheet else "")
        return re.sub(r"[^\w.-]+", "_", stem) + "_to_mend.csv"


def waiting(folder: Path) -> list[WaitingTable]:
    """Return the waiting rows of every source that has some.

    Customers and serials are shown as their keys. Raises PublishError without a database.
    """
    path = publish.current(folder)
    if path is None:
        raise publish.PublishError(f"{folder}: nothing was loaded yet; run ohmhours load PATH")
    connection = duckdb.connect(str(path), read_only=True)
    try:
        sources = connection.execute(sql.text("account/waiting_sources")).fetchall()
        return [_table(connection, *source) for source in sources]
    finally:
        connection.close()


ROWS = {
    "jobs": "account/waiting_jobs",
    "visits": "account/waiting_visits",
    "readings": "account/waiting_readings",
    "part_lines": "account/waiting_part_lines",
}


def _table(
    connection: duckdb.DuckDBPyConnection,
    source_id: int,
    file: str,
    sheet: str | None,
    table: str,
    header_text: str,
) -> WaitingTable:
    header: list[list[str]] = json.loads(header_text)
    result = connection.execute(sql.text(ROWS[table]), {"source_id": source_id})
    names = [column[0] for column in result.description]
    rows = []
    for values in result.fetchall():
        row = dict(zip(names, values, strict=True))
        rows.append([*_own_columns(header, row), row["reference"], row["reasons"]])
    own = [name for name, _ in header if name not in (MENDS, REASONS)]
    return WaitingTable(file, sheet, table, [*own, MENDS, REASONS], rows)


def _own_columns(header: list[list[str]], row: dict[str, str | None]) -> list[str]:
    """Return the values under the source's headers; one of several columns holds the field."""
    cells, written = [], set()
    for name, field in header:
        if name in (MENDS, REASONS):
            continue
        value = row.get(field) if field and field not in written else None
        written.add(field)
        cells.append(value or "")
    return cells


def write_waiting(tables: list[WaitingTable], target: Path) -> list[Path]:
    """Write each table as CSV into a folder and return the paths."""
    target.mkdir(parents=True, exist_ok=True)
    paths = []
    for table in tables:
        path = target / table.file_name
        path.write_text(csv_of(table), encoding="utf-8", newline="")
        paths.append(path)
    return paths


def csv_of(table: WaitingTable) -> str:
    """Return a table as CSV text; a text that a spreadsheet would run is made plain."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(table.header)
    writer.writerows([plain(cell) for cell in row] for row in table.rows)
    return text.getvalue()


def plain(cell: str) -> str:
    """Put an apostrophe before a text that would start a formula; numbers stay numbers."""
    is_formula = cell.startswith(FORMULA_STARTS) and not NUMBER.match(cell)
    return f"'{cell}" if is_formula else cell
