"""How fast is the load, and how fast are its pages? python -m tests.bench.speed [JOBS] [--check].

Messy records of that many jobs (100,000; the goals are for 1,000,000) are loaded by the floor, by
pandas, by polars and by us, in turn. Writes its section of RESULTS.md and leaves no other file.
With --check it fails where a goal is not met.
"""

import argparse
import os
import platform
import sys
import tempfile
from datetime import date
from importlib.metadata import version
from pathlib import Path

from tests.bench.answers import one_job_shop, whole_answers
from tests.bench.contest import OURS, RIVALS, Contest
from tests.bench.first_chart import first_chart
from tests.bench.goals import GOALS, GOALS_ARE_FOR, Measured
from tests.bench.messy_jobs import make, make_day_after
from tests.bench.page_queries import many_readers, one_reader
from tests.bench.results import RESULTS, write_section
from tests.bench.same_tables import differences, differences_of_loads
from tests.bench.speed_tables import answers, contenders, steps, waits

JOBS, ROUNDS = 100_000, 3
LIBRARIES = ("duckdb", "pandas", "polars", "pyarrow")
LEFT_OUT = (
    "The rivals make the tables of core and count the reasons for quarantine, and nothing else: no "
    "notes are read, no source row is kept to be explained or read again, no older version or copy "
    "of another load is looked for, no unknown word is proposed, complaints and causes are understood "
    "only where a list has their very words, in one language (those of an unknown kind of appliance are "
    "not compared), no file is read in a process of its own, nothing is checked for names and telephone "
    "numbers, and no version is published while others read. The table therefore holds them against "
    "our load up to core."
)


def measured(jobs: int, scratch: Path, rounds: int = ROUNDS) -> Measured:
    """Run everything on messy records of so many jobs, and the loads on a tenth of them."""
    contest, tenth = (_contest(count, scratch / f"{count}") for count in (jobs, jobs // 10))
    tenth.rounds(("floor", "ours"), rounds)
    contest.rounds((*RIVALS, *OURS), rounds)
    contest.rounds(("ours in 1 GB",), 1)
    ours = contest.out("ours")
    others = {name: sum(map(sum, _differences(contest, name).values())) for name in RIVALS[1:]}
    others["ours in 1 GB"] = differences_of_loads(ours, contest.out("ours in 1 GB"))
    return Measured(
        contest,
        tenth,
        others,
        whole_answers(ours),
        one_reader(ours),
        many_readers(ours),
        first_chart(),
        one_job_shop(),
    )


def _contest(jobs: int, folder: Path) -> Contest:
    make(jobs, folder / "in")
    make_day_after(jobs, folder / "day")
    return Contest(folder / "in", folder / "out", folder / "day")


def _differences(contest: Contest, rival: str) -> dict[str, tuple[int, int]]:
    return differences(contest.out("ours"), contest.out(rival))


def lines(found: Measured, busy: float, rounds: int = ROUNDS) -> list[str]:
    """Return the section of RESULTS.md."""
    versions = ", ".join(f"{name} {version(name)}" for name in LIBRARIES)
    memory_gb = os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES") / 2**30
    return [
        f"{date.today()}, {os.cpu_count()} processors, {memory_gb:.0f} GB, {platform.system()} "
        f"{platform.machine()}, load average {busy:.1f} when it began and {os.getloadavg()[0]:.1f} "
        f"when it ended; Python {platform.python_version()}, {versions}.",
        "",
        f"Each contender in a process of its own, in turn, medians of {rounds}. The floor reads the "
        "files as text into a database and understands nothing; a day added is the export of one more day, "
        f"loaded into what ours made. The goals are for {GOALS_ARE_FOR:,} jobs. {LEFT_OUT}",
        "",
        *contenders(found),
        "",
        "| what | measured | other clock | goal | stretch | |",
        "| --- | --- | --- | --- | --- | --- |",
        *(goal.line(found) for goal in GOALS),
        "",
        "The slowest steps of our load:",
        "",
        *steps(found),
        "",
        "The dearest whole answers without any filter, SQL and Python, asked for the first time:",
        "",
        *answers(found),
        "",
        *waits(found),
    ]


def main() -> None:
    """Run the bench, write its section, and with --check fail where a goal is not met."""
    parser = argparse.ArgumentParser(
        description="How fast is the load, and how fast are its pages?"
    )
    parser.add_argument("jobs", type=int, nargs="?", default=JOBS)
    parser.add_argument("--rounds", type=int, default=ROUNDS)
    parser.add_argument("--check", action="store_true", help="fail where a goal is not met")
    chosen = parser.parse_args()
    busy = os.getloadavg()[0]
    with tempfile.TemporaryDirectory(prefix="ohmhours_bench_") as scratch:
        found = measured(chosen.jobs, Path(scratch), chosen.rounds)
        section = f"Speed, {chosen.jobs:,} jobs"
        write_section(section, lines(found, busy, chosen.rounds))
        missed = [goal.name for goal in GOALS if goal.is_met(found) is False]
    print(RESULTS.read_text(encoding="utf-8"))
    if chosen.check and missed:
        sys.exit(f"{len(missed)} goals are not met: {'; '.join(missed)}")


if __name__ == "__main__":
    main()
