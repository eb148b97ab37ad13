"""What waits in quarantine, in the source's own columns with the reasons, ready to be mended."""

import csv
import io
import json
import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from etl.formula import plain

MENDS, REASONS = "mends", "reasons"
LONGEST_NAME = 80  # signs, so that no file system refuses the name


@dataclass(frozen=True)
class WaitingTable:
    """The waiting rows of one source: its own header, then `mends` and `reasons`.

    `file_name` is the name of the file to mend, another one for each source.
    """

    file: str
    sheet: str | None
    table: str
    header: list[str]
    rows: list[list[str]]
    file_name: str


Query = Callable[..., list[dict[str, str | None]]]


def waiting(query: Query) -> list[WaitingTable]:
    """Return the waiting rows of every source that has some.

    `query` runs a named SQL file and returns its rows: query("account/waiting_jobs", source_id=3).
    Customers and serials are shown as their keys.
    """
    names: dict[str, int] = {}
    tables = []
    for source in query("account/waiting_sources"):
        name = _name_to_mend(source["file"], source["sheet"])
        names[name] = names.get(name, 0) + 1
        again = f"_{names[name]}" if names[name] > 1 else ""
        tables.append(_table(query, source, f"{name}_to_mend{again}.csv"))
    return tables


def _name_to_mend(file: str, sheet: str | None) -> str:
    """Return the source's name, with the sheet, in signs that any file name may hold."""
    stem = re.sub(r"_to_mend(_\d+)?$", "", Path(file).stem)
    return re.sub(r"[^\w.-]+", "_", stem + (f"_{sheet}" if sheet else ""))[:LONGEST_NAME]


ROWS = {
    "jobs": "account/waiting_jobs",
    "visits": "account/waiting_visits",
    "readings": "account/waiting_readings",
    "part_lines": "account/waiting_part_lines",
}


def _table(query: Query, source: dict, file_name: str) -> WaitingTable:
    header: list[list[str]] = json.loads(source["header"])
    rows = [
        [*_own_columns(header, row), row["reference"], row["reasons"]]
        for row in query(ROWS[source["table_name"]], source_id=source["source_id"])
    ]
    own = [name for name, _ in header if name not in (MENDS, REASONS)]
    return WaitingTable(
        source["file"],
        source["sheet"],
        source["table_name"],
        [*own, MENDS, REASONS],
        rows,
        file_name,
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
    writer.writerows([plain(cell) for cell in row] for row in [table.header, *table.rows])
    return text.getvalue()
