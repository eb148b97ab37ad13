"""How fast is the load, and how fast are its pages? python -m tests.bench.speed [JOBS].

Messy records of that many jobs (100,000; the goals are for 1,000,000) are loaded by the floor, by
pandas, by polars and by us, in turn. Writes its section of RESULTS.md and leaves no other file.
"""

import json
import os
import platform
import sys
import tempfile
from datetime import date
from importlib.metadata import version
from pathlib import Path

from tests.bench.contest import OURS, RIVALS, Contest
from tests.bench.goals import GOALS, Measured
from tests.bench.messy_jobs import make, make_day_after
from tests.bench.page_queries import FILTERS, READERS, many_readers, one_reader
from tests.bench.results import RESULTS, write_section
from tests.bench.same_tables import differences, differences_of_loads

JOBS, ROUNDS, STEPS_SHOWN = 100_000, 3, 12
LIBRARIES = ("duckdb", "pandas", "polars", "pyarrow")


def measured(jobs: int, scratch: Path) -> Measured:
    """Run everything on messy records of so many jobs, and the loads on a tenth of them."""
    contest, tenth = (_contest(count, scratch / f"{count}") for count in (jobs, jobs // 10))
    tenth.rounds(("floor", "ours"), ROUNDS)
    contest.rounds((*RIVALS, *OURS), ROUNDS)
    contest.rounds(("ours in 1 GB",), 1)
    ours = contest.out("ours")
    others = {name: sum(map(sum, _differences(contest, name).values())) for name in RIVALS[1:]}
    others["ours in 1 GB"] = differences_of_loads(ours, contest.out("ours in 1 GB"))
    return Measured(contest, tenth, others, one_reader(ours), many_readers(ours))


def _contest(jobs: int, folder: Path) -> Contest:
    make(jobs, folder / "in")
    make_day_after(jobs, folder / "day")
    return Contest(folder / "in", folder / "out", folder / "day")


def _differences(contest: Contest, rival: str) -> dict[str, tuple[int, int]]:
    return differences(contest.out("ours"), contest.out(rival))


def lines(found: Measured, busy: float) -> list[str]:
    """Return the section of RESULTS.md."""
    versions = ", ".join(f"{name} {version(name)}" for name in LIBRARIES)
    memory_gb = os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES") / 2**30
    return [
        f"{date.today()}, {os.cpu_count()} processors, {memory_gb:.0f} GB, {platform.system()} "
        f"{platform.machine()}, load average {busy:.1f} when it began; "
        f"Python {platform.python_version()}, {versions}.",
        "",
        f"Each contender in a process of its own, in turn, medians of {ROUNDS}. The floor reads the "
        "files as text into a database and understands nothing; a day added is the export of one more day, "
        "loaded into what ours made. The goals are for 1,000,000 jobs.",
        "",
        *contenders(found),
        "",
        "| ratio | measured | by processor | goal | |",
        "| --- | --- | --- | --- | --- |",
        *(goal.line(found) for goal in GOALS),
        "",
        "The slowest steps of our load:",
        "",
        *steps(found),
        "",
        f"Each measure with {FILTERS} random filters, one reader:",
        "",
        *waits(found),
    ]


def contenders(found: Measured) -> list[str]:
    """Return the table of times and memory."""
    table = ["| contender | wall, s | processor, s | peak, MB |", "| --- | --- | --- | --- |"]
    for name in found.contest.runs:
        run = found.contest.median(name)
        table.append(f"| {name} | {run.wall_s:.1f} | {run.cpu_s:.1f} | {run.peak_mb:,.0f} |")
    return table


def steps(found: Measured) -> list[str]:
    """Return the table of the steps that took longest in the last load."""
    text = (found.contest.out("ours") / "steps.json").read_text(encoding="utf-8")
    seconds = sorted(json.loads(text).items(), key=lambda item: -item[1])[:STEPS_SHOWN]
    return ["| step | s |", "| --- | --- |", *(f"| {name} | {s:.1f} |" for name, s in seconds)]


def waits(found: Measured) -> list[str]:
    """Return the table of the measures' waits, and of twenty readers."""
    table = ["| measure | p50, ms | p95, ms | longest, ms |", "| --- | --- | --- | --- |"]
    rows = found.waits | {f"{READERS} readers, any measure": found.many[1]}
    for name, wait in rows.items():
        table.append(f"| {name} | {wait.p50_ms:.0f} | {wait.p95_ms:.0f} | {wait.max_ms:.0f} |")
    return table


def main() -> None:
    """Run the bench and write its section."""
    jobs = int(sys.argv[1]) if len(sys.argv) > 1 else JOBS
    busy = os.getloadavg()[0]
    with tempfile.TemporaryDirectory(prefix="ohmhours_bench_") as scratch:
        found = measured(jobs, Path(scratch))
        write_section(f"Speed, {jobs:,} jobs", lines(found, busy))
    print(RESULTS.read_text(encoding="utf-8"))


if __name__ == "__main__":
    main()
