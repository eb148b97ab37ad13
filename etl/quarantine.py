"""What waits in quarantine, in the source's own columns with the reasons, ready to be corrected."""

import csv
import io
import json
import re
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from etl.csv_formula_guard import plain

CORRECTS, REASONS = "corrects_row", "reasons"
ADDED = (CORRECTS, REASONS, "mends")  # "mends": the former name of the first
LONGEST_NAME = 80  # signs, so that no file system refuses the name


@dataclass(frozen=True)
class WaitingSource:
    """A source that has waiting rows, and how many; `file_name` is that of its file to fix."""

    source_id: int
    file: str
    sheet: str | None
    table: str
    columns: list[list[str]]
    count: int
    file_name: str


Query = Callable[..., list[dict[str, Any]]]


def waiting_sources(query: Query) -> list[WaitingSource]:
    """Return every source that has waiting rows.

    `query` runs a named SQL file and returns its rows: query("load_report/waiting_rows", …).
    """
    names: Counter[str] = Counter()
    sources = []
    for row in query("load_report/waiting_sources"):
        name = _name_to_fix(row["file"], row["sheet"])
        names[name] += 1
        again = f"_{names[name]}" if names[name] > 1 else ""
        sources.append(
            WaitingSource(
                int(row["source_id"]),
                row["file"],
                row["sheet"],
                row["table_name"],
                json.loads(row["header"]),
                int(row["quarantined"]),
                f"{name}_to_fix{again}.csv",
            )
        )
    return sources


def _name_to_fix(file: str, sheet: str | None) -> str:
    """Return the source's name, with the sheet, in signs that any file name may hold."""
    stem = re.sub(r"_to_(fix|mend)(_\d+)?$", "", Path(file).stem)
    return re.sub(r"[^\w.-]+", "_", stem + (f"_{sheet}" if sheet else ""))[:LONGEST_NAME]


def to_fix(query: Query, source: WaitingSource) -> str:
    """Return the waiting rows of one source as CSV: its own header, `corrects_row`, `reasons`.

    Customers and serials are shown as keys; a text that a spreadsheet would run is made plain.
    """
    own = [name for name, _ in source.columns if name not in ADDED]
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(map(plain, [*own, CORRECTS, REASONS]))
    for row in query(
        "load_report/waiting_rows", table_name=source.table, source_id=source.source_id
    ):
        cells = [*_own_columns(source.columns, row), row["reference"], row["reasons"]]
        writer.writerow(map(plain, cells))
    return text.getvalue()


def _own_columns(columns: list[list[str]], row: dict[str, str | None]) -> list[str]:
    """Return the values under the source's headers; one of several columns holds the field."""
    cells, written = [], set()
    for name, field in columns:
        if name in ADDED:
            continue
        value = row.get(field) if field and field not in written else None
        written.add(field)
        cells.append(value or "")
    return cells


def write_waiting(query: Query, target: Path) -> list[Path]:
    """Write what waits of each source as CSV into a folder and return the paths."""
    target.mkdir(parents=True, exist_ok=True)
    paths = []
    for source in waiting_sources(query):
        path = target / source.file_name
        path.write_text(to_fix(query, source), encoding="utf-8", newline="")
        paths.append(path)
    return paths
