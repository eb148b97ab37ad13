"""What the load and the pages should reach, as ratios within one run; met or not met."""

from collections.abc import Callable
from dataclasses import dataclass

from tests.bench.answers import Spent
from tests.bench.contest import Contest
from tests.bench.first_chart import Start
from tests.bench.page_queries import Waits

GOALS_ARE_FOR = 1_000_000  # jobs
# rows by month or day that are added up; the other measures go by single readings, parts or jobs
ADDITIVE = {
    "month_review", "first_time_fix", "callbacks", "callback_curve", "month_signals",
    "root_cause_mix", "repeat_visits",
}  # fmt: skip


@dataclass(frozen=True)
class Measured:
    """All that one run of the bench found out."""

    contest: Contest
    tenth: Contest
    differences: dict[str, int]
    answers: dict[str, Spent]
    waits: dict[str, Waits]
    many: tuple[float, Waits]
    start: Start | None
    one_job: Spent

    def ratio(self, one: str, other: str, field: str = "wall_s") -> float:
        """Return how many times as much of a field one contender took as another."""
        of = self.contest.median
        return getattr(of(one), field) / getattr(of(other), field)

    def tenfold(self, field: str) -> float:
        """Return a field of the whole load over that of a tenth of the jobs."""
        whole, tenth = (getattr(c.median("ours"), field) for c in (self.contest, self.tenth))
        return whole / tenth

    def peak_gb(self, name: str) -> float:
        """Return the peak of one contender's memory."""
        return self.contest.median(name).peak_mb / 1024

    def slowest_p95_ms(self, *, is_additive: bool) -> float:
        """Return the longest 95th percentile of the measures that add up, or of the others."""
        return max(w.p95_ms for name, w in self.waits.items() if (name in ADDITIVE) == is_additive)

    def chart(self, field: str) -> float | None:
        """Return the seconds until the first chart; None without a browser."""
        return getattr(self.start.seen["first chart"], field) if self.start else None


@dataclass(frozen=True)
class Goal:
    """One number with its bound, and the stretch beyond it: at most that, or at least.

    `value` is judged; `other_clock` gives the same in wall or processor time, whichever is not
    judged. None: not measured in this run.
    """

    name: str
    value: Callable[[Measured], float | None]
    bound: float
    stretch: float | None = None
    at_least: bool = False
    unit: str = ""
    other_clock: Callable[[Measured], float | None] | None = None

    def is_met(self, measured: Measured) -> bool | None:
        """Say whether the bound is kept; None when it was not measured."""
        value = self.value(measured)
        if value is None:
            return None
        return value >= self.bound if self.at_least else value <= self.bound

    def line(self, measured: Measured) -> str:
        """Return the row of the table: what, judged, other clock, wanted, stretch, met or not."""
        sign = "≥" if self.at_least else "≤"
        verdict = {True: "met", False: "**not met**", None: "not measured"}[self.is_met(measured)]
        stretch = "" if self.stretch is None else f"{sign} {self.stretch:g}{self.unit}"
        return (
            f"| {self.name} | {_shown(self.value(measured))}{self.unit} "
            f"| {_shown(self.other_clock(measured)) if self.other_clock else ''} "
            f"| {sign} {self.bound:g}{self.unit} | {stretch} | {verdict} |"
        )


def _shown(value: float | None) -> str:
    if value is None:
        return "–"
    return f"{value:,.0f}" if value >= 100 or value % 1 == 0 else f"{value:,.2f}"


def _by_processor(one: str, other: str, name: str, bound: float, stretch: float | None) -> Goal:
    return Goal(
        f"{name}, processor (other clock: wall)",
        lambda m: m.ratio(one, other, "cpu_s"),
        bound,
        stretch,
        other_clock=lambda m: m.ratio(one, other),
    )


def _rival(rival: str, bound: float, stretch: float | None = None) -> Goal:
    return Goal(
        f"{rival} / ours to core, wall (other clock: processor)",
        lambda m: m.ratio(rival, "ours to core"),
        bound,
        stretch,
        at_least=True,
        other_clock=lambda m: m.ratio(rival, "ours to core", "cpu_s"),
    )


GOALS = (
    _by_processor("ours to core", "floor", "to core / floor", 4.0, 3.5),
    _by_processor("ours", "floor", "whole load / floor", 5.5, 4.8),
    Goal("peak under a limit of 1 GB", lambda m: m.peak_gb("ours in 1 GB"), 1.3, 1.1, unit=" GB"),
    _rival("pandas", 3.0),
    _rival("pandas, distinct", 2.0),
    _rival("polars", 0.6, 0.8),
    Goal(
        "dearest whole answer, no filter, processor (other clock: wall)",
        lambda m: max(a.cpu_s for a in m.answers.values()),
        2.0,
        1.0,
        unit=" s",
        other_clock=lambda m: max(a.wall_s for a in m.answers.values()),
    ),
    Goal(
        "page SQL p95 with filters, additive",
        lambda m: m.slowest_p95_ms(is_additive=True),
        100,
        unit=" ms",
    ),
    Goal(
        "page SQL p95 with filters, others",
        lambda m: m.slowest_p95_ms(is_additive=False),
        300,
        unit=" ms",
    ),
    Goal("twenty readers, queries per second", lambda m: m.many[0], 60, 120, at_least=True),
    Goal(
        "server start to first chart, sample shop, wall (other clock: processor of the server)",
        lambda m: m.chart("wall_s"),
        4.0,
        3.0,
        unit=" s",
        other_clock=lambda m: m.chart("cpu_s"),
    ),
    Goal(
        "a one-job test shop, processor (other clock: wall)",
        lambda m: m.one_job.cpu_s,
        0.3,
        unit=" s",
        other_clock=lambda m: m.one_job.wall_s,
    ),
    Goal(
        "ten times the jobs, processor (other clock: wall)",
        lambda m: m.tenfold("cpu_s"),
        11,
        other_clock=lambda m: m.tenfold("wall_s"),
    ),
    Goal(
        "a day added / whole load, processor (other clock: wall)",
        lambda m: m.ratio("a day added", "ours", "cpu_s"),
        0.15,
        0.08,
        other_clock=lambda m: m.ratio("a day added", "ours"),
    ),
    Goal(
        "rows that differ from pandas', polars' and those of ours in 1 GB",
        lambda m: sum(m.differences.values()),
        0,
    ),
)
