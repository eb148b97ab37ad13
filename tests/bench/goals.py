"""What the load and the pages should reach, as ratios within one run; met or not met."""

from collections.abc import Callable
from dataclasses import dataclass

from tests.bench.contest import Contest
from tests.bench.page_queries import Waits


@dataclass(frozen=True)
class Measured:
    """All that one run of the bench found out."""

    contest: Contest
    tenth: Contest
    differences: dict[str, int]
    waits: dict[str, Waits]
    many: tuple[float, Waits]

    def ratio(self, one: str, other: str, field: str = "wall_s") -> float:
        """Return how many times as much of a field one contender took as another."""
        of = self.contest.median
        return getattr(of(one), field) / getattr(of(other), field)

    def tenfold(self) -> float:
        """Return the time of the whole load over that of a tenth of the jobs."""
        return self.contest.median("ours").wall_s / self.tenth.median("ours").wall_s

    def slowest_p95_ms(self) -> float:
        """Return the longest 95th percentile of any measure."""
        return max(wait.p95_ms for wait in self.waits.values())


@dataclass(frozen=True)
class Goal:
    """One number with its bound: at most that, or at least."""

    name: str
    value: Callable[[Measured], float]
    bound: float
    at_least: bool = False
    unit: str = ""

    def line(self, measured: Measured) -> str:
        """Return the row of the table: what, measured, wanted, met or not."""
        value = self.value(measured)
        is_met = value >= self.bound if self.at_least else value <= self.bound
        sign = "≥" if self.at_least else "≤"
        shown = f"{value:,.0f}" if value >= 100 or value % 1 == 0 else f"{value:,.2f}"
        verdict = "met" if is_met else "**not met**"
        return (
            f"| {self.name} | {shown}{self.unit} | {sign} {self.bound:g}{self.unit} | {verdict} |"
        )


GOALS = (
    Goal("load to core / floor, time", lambda m: m.ratio("ours to core", "floor"), 2.0),
    Goal("whole load / floor, time", lambda m: m.ratio("ours", "floor"), 2.5),
    Goal("pandas / whole load, time", lambda m: m.ratio("pandas", "ours"), 5, True),
    Goal("pandas / whole load, memory", lambda m: m.ratio("pandas", "ours", "peak_mb"), 8, True),
    Goal("polars / whole load, time", lambda m: m.ratio("polars", "ours"), 1, True),
    Goal("ten times the jobs, time of the whole load", Measured.tenfold, 11),
    Goal(
        "rows that differ from pandas', polars' and the load in 1 GB",
        lambda m: sum(m.differences.values()),
        0,
    ),
    Goal(
        "load in 1 GB, memory", lambda m: m.contest.median("ours in 1 GB").peak_mb, 1024, unit=" MB"
    ),
    Goal("slowest measure, 95th percentile", Measured.slowest_p95_ms, 100, unit=" ms"),
    Goal("twenty readers, queries per second", lambda m: m.many[0], 200, True),
    Goal("twenty readers, 95th percentile", lambda m: m.many[1].p95_ms, 250, unit=" ms"),
)
