"""The figures that a change may move, and how their levels and differences are written."""

from collections.abc import Callable
from dataclasses import dataclass

from dashboard.changes.compute import Effect, Group, Side
from dashboard.notes.changes import AMOUNTS
from dashboard.stats.mean_difference import mean_interval
from dashboard.stats.proportion import wilson
from dashboard.stats.stratified import Difference
from dashboard.text import format as words

NAMES = {
    "first_time_fix": "First-time fix",
    "callbacks": "Callbacks",
    "part_needed": "Return trips for a missing part",
    "return_trips": "Jobs with a return trip",
    "wrong": "Wrong diagnosis",
    "not_tested": "Parts replaced without testing",
    "against": "Parts replaced though readings spoke against them",
    "missed": "Bad readings missed",
    "several": "Several parts at once",
    "minutes": "Minutes per job",
    "revenue": "Revenue per job",
    "parts_cost": "Parts cost per job with parts",
}


@dataclass(frozen=True)
class Figure:
    """A measured figure and the currency in which its money is written."""

    measure: str
    currency: str | None = None

    @property
    def name(self) -> str:
        """Return the figure's name."""
        return NAMES[self.measure]

    @property
    def is_share(self) -> bool:
        """Return True for a share of jobs, False for an amount per job."""
        return self.measure not in AMOUNTS

    @property
    def unit(self) -> str:
        """Return the unit of an axis."""
        if self.is_share:
            return "% of jobs"
        return "min" if self.measure == "minutes" else self.currency or "currency not recorded"

    def _write(self) -> Callable[[float], str]:
        """Return how an amount is written; under ten with a decimal or cents."""
        if self.measure == "minutes":
            return lambda value: words.minutes(value) if abs(value) >= 10 else _tenths(value)
        return lambda value: words.money(value, self.currency, is_unit_price=abs(value) < 10)

    def level(self, group: Group) -> str:
        """Write the plain share or mean of a group, with its jobs and interval."""
        return share(group) if self.is_share else self._mean(group)

    def _mean(self, group: Group) -> str:
        found = mean_interval(group.amount, group.squares, group.jobs)
        if found is None or group.jobs < words.FEW:
            return f"{words.counted(group.jobs, 'job')}, too few for a mean"
        mean, low, high = map(self._write(), found)
        return f"{mean} ({low} to {high}), {words.counted(group.jobs, 'job')}"

    def before_and_after(self, side: Side) -> tuple[str, str]:
        """Write the plain levels before and after."""
        return self.level(side.before), self.level(side.after)

    def change(self, found: Difference) -> str:
        """Write a difference with its interval: "−11 points (−15 to −7)", "−6 min (−9 to −3)"."""
        if self.is_share:
            return points_range(found)
        value, low, high = (
            f"+{self._write()(each)}" if each > 0 else self._write()(each)
            for each in (found.value, found.low, found.high)
        )
        return f"{value} ({low} to {high})"

    def worth_seeing(self, effect: Effect) -> str:
        """Write the difference that is looked for: "5 points", "6 min"."""
        if self.is_share:
            return words.points(effect.matters).removeprefix("+")
        return self._write()(effect.matters)


def _tenths(minutes: float) -> str:
    return words.number(round(minutes, 1) + 0.0, 1, "min")


def points_range(found: Difference) -> str:
    """Write a difference of shares with its interval: "−11 points (−15 to −7)"."""
    low, high = (words.points(each).rsplit(" ", 1)[0] for each in (found.low, found.high))
    return f"{words.points(found.value)} ({low} to {high})"


def share(group: Group) -> str:
    """Write a share with its jobs and interval."""
    hits, jobs = round(group.amount), group.jobs
    interval = wilson(hits, jobs) if jobs else None
    return words.rate(
        hits,
        jobs,
        None if interval is None else float(interval.low),
        None if interval is None else float(interval.high),
    )
