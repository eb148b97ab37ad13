"""How often is a technician flagged in shops where none differs? python -m tests.bench.innocents [N].

Simulates N shops (100) of 2,500 jobs without any planted finding, loads each, and counts the
technicians, meters and parts that the pages would flag. Writes its section of RESULTS.md.
"""

import csv
import platform
import sys
import tempfile
import time
from collections import Counter
from datetime import date
from pathlib import Path

from etl.load import load
from sample_data.jobs import Shop, simulate
from tests.ask import measure
from tests.bench.results import RESULTS, write_section

JOBS, SHOPS = 2_500, 100
NOT_ALIKE = (
    "The technicians of these shops are not alike: their skill is 0.84 to 0.95, and the most skilled "
    "one of a branch\n(Abara) is sent to what another did not fix. False flags of technicians are "
    'measured where none differs:\n"Power and false flags of the comparisons".'
)


def write(shop: Shop, folder: Path) -> list[Path]:
    """Write a shop's clean rows as canonical CSV files."""
    visits = [
        visit
        | {
            "arrived_at": f"{visit['day']} {visit['hour']:02d}:00",
            "minutes_on_job": visit["minutes"],
            "travel_minutes": visit["travel"],
        }
        for visit in shop.visits
    ]
    tables = {
        "jobs": shop.jobs,
        "visits": visits,
        "readings": shop.readings,
        "part_lines": shop.part_lines,
    }
    paths = []
    for name, rows in tables.items():
        path = folder / f"{name}.csv"
        with path.open("w", newline="", encoding="utf-8") as file:
            writer = csv.DictWriter(file, fieldnames=list(rows[0]), extrasaction="ignore")
            writer.writeheader()
            writer.writerows(rows)
        paths.append(path)
    return paths


def flagged(folder: Path) -> Counter:
    """Count who was asked and who was flagged, by page."""
    counts: Counter = Counter()
    for pattern in (None, "not_tested"):
        table = measure(folder, "misdiagnosis", group_by="technician", pattern=pattern)
        for row in table[table["asked"] > 0].itertuples():
            counts[f"misdiagnosis {pattern or 'wrong diagnosis'}: asked"] += 1
            counts[f"misdiagnosis {pattern or 'wrong diagnosis'}: different"] += (
                row.funnel == "different" and row.with_pattern > row.expected
            )
    fixes = measure(folder, "first_time_fix", group_by="technician")
    counts["first-time fix: asked"] += len(fixes)
    counts["first-time fix: different"] += int((fixes["funnel"] == "different").sum())
    for name in ("meter_check", "early_parts"):
        table = measure(folder, name)
        counts[f"{name}: shops"] += 1
        counts[f"{name}: shops with a false flag"] += bool(table["flagged"].fillna(False).any())
    return counts


def main() -> None:
    """Run the shops and write the table."""
    shops = int(sys.argv[1]) if len(sys.argv) > 1 else SHOPS
    total: Counter = Counter()
    start = time.monotonic()
    for seed in range(shops):
        with tempfile.TemporaryDirectory() as scratch:
            folder = Path(scratch)
            load(write(simulate(seed, JOBS, frozenset()), folder), folder / "db")
            total += flagged(folder / "db")
        print(f"{seed + 1} of {shops} shops", file=sys.stderr, flush=True)
    lines = [
        f"{shops} shops of {JOBS:,} jobs without any planted finding, seeds 0 to {shops - 1}; "
        f"{date.today()}, Python {platform.python_version()}, "
        f"{time.monotonic() - start:.0f} s on this machine.",
        "",
        "| counted | number |",
        "| --- | --- |",
        *(f"| {name} | {number:,} |" for name, number in sorted(total.items())),
    ]
    for name in sorted(key.removesuffix(": asked") for key in total if key.endswith(": asked")):
        share = total[f"{name}: different"] / total[f"{name}: asked"]
        lines.append(f"| **{name}: share flagged** | {share:.2%} |")
    lines += ["", NOT_ALIKE]
    write_section("Error rates over simulated shops", lines)
    print(RESULTS.read_text(encoding="utf-8"))


if __name__ == "__main__":
    main()
