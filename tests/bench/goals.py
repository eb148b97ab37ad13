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

    def tenfold(self, field: str) -> float:
        """Return a field of the whole load over that of a tenth of the jobs."""
        whole, tenth = (getattr(c.median("ours"), field) for c in (self.contest, self.tenth))
        return whole / tenth

    def peak_mb(self, name: str) -> float:
        """Return the peak of one contender's memory."""
        return self.contest.median(name).peak_mb

    def slowest_p95_ms(self) -> float:
        """Return the longest 95th percentile of any measure."""
        return max(wait.p95_ms for wait in self.waits.values())


@dataclass(frozen=True)
class Goal:
    """One number with its bound: at most that, or at least.

    `by_processor` tells the same ratio in seconds of processor: other work on the machine lengthens
    the wait more than these. The verdict goes by what is waited for.
    """

    name: str
    value: Callable[[Measured], float]
    bound: float
    at_least: bool = False
    unit: str = ""
    by_processor: Callable[[Measured], float] | None = None

    def line(self, measured: Measured) -> str:
        """Return the row of the table: what, measured, by processor, wanted, met or not."""
        value = self.value(measured)
        is_met = value >= self.bound if self.at_least else value <= self.bound
        sign = "≥" if self.at_least else "≤"
        verdict = "met" if is_met else "**not met**"
        processor = _shown(self.by_processor(measured)) if self.by_processor else ""
        return (
            f"| {self.name} | {_shown(value)}{self.unit} | {processor} "
            f"| {sign} {self.bound:g}{self.unit} | {verdict} |"
        )


def _shown(value: float) -> str:
    return f"{value:,.0f}" if value >= 100 or value % 1 == 0 else f"{value:,.2f}"


def _time(one: str, other: str, bound: float, at_least: bool = False) -> Goal:
    return Goal(
        f"{one} / {other}, time",
        lambda m: m.ratio(one, other),
        bound,
        at_least,
        by_processor=lambda m: m.ratio(one, other, "cpu_s"),
    )


GOALS = (
    _time("ours to core", "floor", 2.0),
    _time("ours", "floor", 2.5),
    _time("pandas", "ours", 5, True),
    Goal("pandas / ours, memory", lambda m: m.ratio("pandas", "ours", "peak_mb"), 8, True),
    _time("polars", "ours", 1, True),
    _time("a day added", "ours", 0.2),
    Goal(
        "ours, time for ten times the jobs",
        lambda m: m.tenfold("wall_s"),
        11,
        by_processor=lambda m: m.tenfold("cpu_s"),
    ),
    Goal(
        "rows that differ from pandas', polars' and those of ours in 1 GB",
        lambda m: sum(m.differences.values()),
        0,
    ),
    Goal("ours in 1 GB, memory", lambda m: m.peak_mb("ours in 1 GB"), 1024, unit=" MB"),
    Goal("slowest measure, 95th percentile", Measured.slowest_p95_ms, 100, unit=" ms"),
    Goal("twenty readers, queries per second", lambda m: m.many[0], 200, True),
    Goal("twenty readers, 95th percentile", lambda m: m.many[1].p95_ms, 250, unit=" ms"),
)
