"""What waits in quarantine, in the source's own columns with the reasons, ready to be mended."""

import csv
import io
import json
import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

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
        return re.sub(r"[^\w.-]+", "_", stem).removesuffix("_to_mend") + "_to_mend.csv"


Query = Callable[..., list[dict[str, str | None]]]


def waiting(query: Query) -> list[WaitingTable]:
    """Return the waiting rows of every source that has some.

    `query` runs a named SQL file and returns its rows: query("account/waiting_jobs", source_id=3).
    Customers and serials are shown as their keys.
    """
    return [_table(query, source) for source in query("account/waiting_sources")]


ROWS = {
    "jobs": "account/waiting_jobs",
    "visits": "account/waiting_visits",
    "readings": "account/waiting_readings",
    "part_lines": "account/waiting_part_lines",
}


def _table(query: Query, source: dict) -> WaitingTable:
    header: list[list[str]] = json.loads(source["header"])
    rows = [
        [*_own_columns(header, row), row["reference"], row["reasons"]]
        for row in query(ROWS[source["table_name"]], source_id=source["source_id"])
    ]
    own = [name for name, _ in header if name not in (MENDS, REASONS)]
    return WaitingTable(
        source["file"], source["sheet"], source["table_name"], [*own, MENDS, REASONS], rows
    )


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
