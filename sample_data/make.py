"""Write the invented shop's exports from one seed: python -m sample_data.make [--out DIR]."""

import argparse
import csv
import json
from datetime import datetime
from pathlib import Path
from random import Random
from typing import Any

import pyarrow as pa
import pyarrow.parquet as pq

from sample_data import exports
from sample_data.jobs import simulate
from sample_data.parts import catalogue
from sample_data.shop import (
    ALL_PLANTS,
    BAD_MONTH,
    CHANGES,
    EARLY_PART_COMPONENT,
    GUESSED_COMPONENT,
    GUESSING_TECHNICIAN,
    METER_TECHNICIAN,
    POOR_ORDER,
    UNDER_COST,
)

SEED, JOBS = 20417, 6000
TICKETS = {
    "job_id": "Ticket",
    "opened_on": "Call taken",
    "closed_on": "Closed",
    "branch": "Shop",
    "technician": "Closed by",
    "customer": "Name",
    "phone": "Phone",
    "appliance_kind": "Machine",
    "brand": "Brand",
    "model": "Model",
    "serial": "Serial",
    "built_year": "Built",
    "symptom": "Customer says",
    "root_cause": "We found",
    "repair_code": "We did",
    "disposition": "Ended",
    "callback_of": "Returns to",
    "charged": "Bill",
    "parts_charged": "of which parts",
}
TRIPS = {
    "job_id": "Ticket",
    "visit_no": "Trip",
    "technician": "Who",
    "arrived_at": "There at",
    "minutes_on_job": "Time there",
    "travel_minutes": "Drive",
    "outcome": "Trip ended",
}
WORK_2025 = TICKETS | {
    "job_id": "Work no.",
    "opened_on": "Date in",
    "closed_on": "Date out",
    "customer": "Client",
    "phone": "Tel.",
    "appliance_kind": "Appliance",
    "symptom": "Trouble",
    "root_cause": "Fault",
    "repair_code": "Job done",
    "charged": "Total $",
    "parts_charged": "Parts $",
}
CALLS_2025 = TRIPS | {
    "job_id": "Work no.",
    "visit_no": "Call no.",
    "technician": "Man",
    "minutes_on_job": "Minutes",
    "travel_minutes": "Road minutes",
    "outcome": "Result of call",
}


def make(
    out: Path, *, seed: int = SEED, jobs: int = JOBS, plants: frozenset[str] = ALL_PLANTS
) -> None:
    """Write the five exports and truth.csv into a folder, the same bytes for the same seed."""
    out.mkdir(parents=True, exist_ok=True)
    shop, rng = simulate(seed, jobs, plants), Random(seed + 1)
    _write_csv(out / "tickets_2026.csv", _renamed(exports.jobs(rng, shop, False), TICKETS))
    _write_csv(out / "trips_2026.csv", _renamed(exports.visits(rng, shop, False), TRIPS))
    sheets = {
        "Work": _renamed(exports.jobs(rng, shop, True), WORK_2025),
        "Calls": _renamed(exports.visits(rng, shop, True), CALLS_2025),
    }
    _write_workbook(out / "records_2025.xlsx", sheets)
    _write_json_lines(out / "readings.jsonl", exports.readings(rng, shop))
    _write_parquet(out / "parts.parquet", exports.part_lines(rng, shop))
    _write_csv(out / "truth.csv", planted(plants) + noted_changes(plants) + shop.truth)


def planted(plants: frozenset[str]) -> list[dict[str, Any]]:
    """Return what was planted, one row each, for truth.csv."""
    early = catalogue(*EARLY_PART_COMPONENT)[1]
    details = {
        "meter_reads_high": METER_TECHNICIAN,
        "guessing_technician": f"{GUESSING_TECHNICIAN}: {GUESSED_COMPONENT}",
        "early_part": early,
        "bad_month": f"{BAD_MONTH[0]}-{BAD_MONTH[1]:02d}",
        "poor_order": ": ".join(POOR_ORDER),
        "under_cost": "; ".join(f"{kind}: {repair}" for kind, repair in UNDER_COST),
    }
    empty = dict.fromkeys(
        ("job_id", "true_cause", "true_component", "diagnosis", "is_callback_of"), ""
    )
    after = dict.fromkeys(("changed_on", "measure", "effect"), "")
    return [
        {"record": "plant"} | empty | {"plant": plant, "detail": details[plant]} | after
        for plant in sorted(plants)
    ]


def noted_changes(plants: frozenset[str]) -> list[dict[str, Any]]:
    """Return the changes that the shop made and noted, with the effect drawn in the data."""
    if not plants:
        return []
    empty = dict.fromkeys(
        ("job_id", "true_cause", "true_component", "diagnosis", "is_callback_of"), ""
    )
    return [
        {"record": "change"}
        | empty
        | {"plant": change["plant"], "detail": change["detail"]}
        | {name: change[name] for name in ("changed_on", "measure")}
        | {"effect": f"{change['effect']:+.2f}"}
        for change in CHANGES
    ]


def _renamed(rows: list[dict[str, Any]], headers: dict[str, str]) -> list[dict[str, Any]]:
    return [{headers[field]: row[field] for field in headers} for row in rows]


def _write_csv(path: Path, rows: list[dict[str, Any]]) -> None:
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, fieldnames=list(rows[0]), lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)


def _write_json_lines(path: Path, rows: list[dict[str, Any]]) -> None:
    lines = (json.dumps(row, ensure_ascii=False, separators=(",", ":")) for row in rows)
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")


def _write_parquet(path: Path, rows: list[dict[str, Any]]) -> None:
    pq.write_table(pa.Table.from_pylist(rows), path, compression="zstd")


def _write_workbook(path: Path, sheets: dict[str, list[dict[str, Any]]]) -> None:
    """Write a workbook; ISO dates become real date cells, other forms stay text, as people do."""
    import io
    import zipfile

    from openpyxl import Workbook

    workbook = Workbook(write_only=True)
    moment = datetime(2026, 1, 2)
    workbook.properties.created = workbook.properties.modified = moment
    for name, rows in sheets.items():
        sheet = workbook.create_sheet(name)
        sheet.append(list(rows[0]))
        for row in rows:
            sheet.append([_cell(value) for value in row.values()])
    buffer = io.BytesIO()
    workbook.save(buffer)
    with (
        zipfile.ZipFile(buffer) as source,
        zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as target,
    ):
        for name in sorted(source.namelist(), key=lambda n: (n != "[Content_Types].xml", n)):
            content = source.read(name)
            if name == "docProps/core.xml":
                content = _fixed_times(content)
            target.writestr(
                zipfile.ZipInfo(name, (2026, 1, 2, 0, 0, 0)), content, zipfile.ZIP_DEFLATED
            )


def _fixed_times(content: bytes) -> bytes:
    import re

    return re.sub(rb"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", b"2026-01-02T00:00:00Z", content)


def _cell(value: str | None) -> object:
    try:
        return datetime.strptime(value or "", "%Y-%m-%d")
    except ValueError:
        return value


def main() -> None:
    """Read the arguments and write the files."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--out", type=Path, default=Path(__file__).parent)
    parser.add_argument("--seed", type=int, default=SEED)
    parser.add_argument("--jobs", type=int, default=JOBS)
    arguments = parser.parse_args()
    make(arguments.out, seed=arguments.seed, jobs=arguments.jobs)


if __name__ == "__main__":
    main()
