"""Drawn washers that do not drain, and what the database says of them.

Limits used (sql/lookups/tolerances.csv): pump winding 5 to 120 ohm, doubtful to 1 and 300; lid lock
contact 0 to 2 ohm, doubtful to 10, open condemns it.
"""

from pathlib import Path
from typing import Any

import duckdb
import pandas as pd

from dashboard.database.version import version
from tests.shop_builder import shop

HEADS = {
    "jobs": "job_id | opened_on | closed_on | appliance_kind | symptom | root_cause | disposition "
    "| customer | technician",
    "visits": "job_id | visit_no | technician | arrived_at | minutes_on_job | travel_minutes "
    "| outcome",
    "readings": "job_id | visit_no | seq | test_point | value | unit",
    "part_lines": "job_id | visit_no | part_no | component | quantity | unit_cost",
}
PUMP, LOCK = "washer_drain_pump_ohm", "washer_lid_lock_switch"
HOSE = "washer_drain_hose_check"


def washers(folder: Path, **rows: str) -> Path:
    """Load drawn rows under the usual heads; `jobs` has the complaint and technician filled in."""
    drawn = {
        name: HEADS[name] + "\n" + "\n".join(line for line in text.strip().splitlines())
        for name, text in rows.items()
    }
    return shop(folder, **drawn)


def job(
    name: str,
    cause: str = "drain_pump_open",
    opened: str = "2026-01-01",
    closed: str = "2026-01-02",
    customer: str | None = None,
    disposition: str = "repaired",
    technician: str = "Ann",
) -> str:
    """Write the row of a washer that does not drain; its own customer unless one is named."""
    return (
        f"{name} | {opened} | {closed} | washer | wont_drain | {cause} | {disposition} | "
        f"{customer or 'of ' + name} | {technician}\n"
    )


def reading(name: str, point: str, value: str, visit: int | str = 1, seq: int = 1) -> str:
    """Write the row of a reading; a number is in ohms."""
    unit = "Ohm" if value[:1].isdigit() else ""
    return f"{name} | {visit} | {seq} | {point} | {value} | {unit}\n"


def part(
    name: str, component: str, visit: int | str = 1, quantity: int = 1, cost: str = "10"
) -> str:
    """Write the row of a part line."""
    return f"{name} | {visit} | P-{component} | {component} | {quantity} | {cost}\n"


def table(folder: Path, name: str) -> pd.DataFrame:
    """Return a core table."""
    path = version(folder)
    assert path is not None
    with duckdb.connect(str(path), read_only=True) as connection:
        return connection.table(name).df()


def evidence(folder: Path) -> dict[tuple[str, str], str]:
    """Return the evidence by job and component; None where the source has no readings."""
    rows = table(folder, "core.part_evidence").astype(object)
    rows = rows.where(rows.notna(), None)
    return {(row.job_id, row.component): row.evidence for row in rows.itertuples()}


def flags(folder: Path, column: str) -> dict[str, Any]:
    """Return one flag of core.job_patterns by job; None where it cannot be said."""
    rows = table(folder, "core.job_patterns").astype(object)
    values = rows.where(rows.notna(), None)
    return dict(zip(values["job_id"], values[column], strict=True))
