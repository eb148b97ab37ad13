"""What a soak found, and its report."""

import itertools
import os
import platform
import statistics
from dataclasses import dataclass, field
from datetime import UTC, datetime

from tests.bench.viewer import Run

HEAD = (
    "| shop | viewers | minutes | runs | errors | p50 | p95 | idle | connected | a viewer "
    "| third quarter | last quarter | published |\n" + "| --- " * 2 + "| ---: " * 11 + "|"
)


@dataclass
class Soak:
    """What one soak found: every run, and the server's memory as (seconds, MB)."""

    jobs: int
    viewers: int
    seconds: float
    runs: list[Run] = field(default_factory=list)
    memory: list[tuple[float, float]] = field(default_factory=list)
    idle_mb: float = 0.0
    connected_mb: float = 0.0
    published: int = 0

    def quarter_mb(self, number: int) -> float:
        """Return the median memory of one quarter of the time, 1 to 4."""
        edges = (number - 1) * self.seconds / 4, number * self.seconds / 4
        return statistics.median(mb for at, mb in self.memory if edges[0] <= at <= edges[1])

    def row(self) -> str:
        """Return the soak as a line of the table."""
        waits = [run.seconds for run in self.runs]
        errors = sum(run.error is not None for run in self.runs)
        edges = statistics.quantiles(waits, n=20, method="inclusive")
        one = (self.connected_mb - self.idle_mb) / self.viewers
        return (
            f"| {self.jobs:,} jobs | {self.viewers} | {self.seconds / 60:.1f} | {len(waits):,} "
            f"| {errors} | {edges[9]:.2f} s | {edges[18]:.2f} s | {self.idle_mb:.0f} MB "
            f"| {self.connected_mb:.0f} MB | {one:.1f} MB | {self.quarter_mb(3):.0f} MB "
            f"| {self.quarter_mb(4):.0f} MB | {self.published} |"
        )


def report(soaks: list[Soak], think_s: float, note: str = "") -> str:
    """Return the report of several soaks; the note says what else the machine did."""
    lines = [
        "# Many viewers for a long time",
        "",
        "`make soak`: each viewer opens every page in an order of its own, over a websocket, and "
        f"looks at each for {think_s:g} s on average; a quarter of them with no filter, the others "
        "with a branch. A new version is published every minute. A wait is from the asking to the "
        "last element, of a server on the same machine. Memory is the server's resident memory: "
        "idle (every page opened once), with all connected, and the medians of the third and the "
        "last quarter of the time: where these agree it has levelled off.",
        "",
        f"{datetime.now(UTC):%Y-%m-%d %H:%M} UTC, Python {platform.python_version()}, "
        f"{os.cpu_count()} cores, on which {os.getloadavg()[2]:.0f} programs wanted to run. {note}".rstrip(),
        "",
        HEAD,
        *(each.row() for each in soaks),
    ]
    for each in soaks:
        lines += ["", f"{each.viewers} viewers, {each.jobs:,} jobs, memory by the minute (MB): "]
        lines[-1] += ", ".join(f"{mb:.0f}" for mb in by_minute(each.memory)) + "."
        lines += [f"- {name}: {count} × {error}" for (name, error), count in errors(each).items()]
    return "\n".join(lines) + "\n"


def by_minute(memory: list[tuple[float, float]]) -> list[float]:
    """Return the first value of each minute."""
    return [next(group)[1] for _, group in itertools.groupby(memory, lambda each: each[0] // 60)]


def errors(found: Soak) -> dict[tuple[str, str], int]:
    """Count the errors by page and kind."""
    wrong = sorted((run.page, run.error) for run in found.runs if run.error)
    return {key: len(list(group)) for key, group in itertools.groupby(wrong)}
