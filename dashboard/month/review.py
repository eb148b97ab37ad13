"""The owner's month: what changed, whether more than chance, what it cost, what to do next."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any

import numpy as np
import pandas as pd

from dashboard.database.labels import Labels
from dashboard.fairness import sentences as fairness_words
from dashboard.filters import Filters
from dashboard.month.actions import Action, Cost, actions, patterns_of, under_cost
from dashboard.stats.bootstrap import median_draws, percentile_interval
from dashboard.stats.proportion import newcombe_difference
from dashboard.text import format as words

Measure = Callable[..., pd.DataFrame]
BASELINE_MONTHS, SEED = 12, 20


@dataclass(frozen=True)
class Change:
    """One figure of the month beside the months before, and whether chance explains it."""

    name: str
    now: str
    before: str
    verdict: str


@dataclass(frozen=True)
class MonthReview:
    """Everything that the page and the printed month say."""

    month: str
    headline: str
    changes: tuple[Change, ...]
    signals: pd.DataFrame
    patterns: tuple[Cost, ...]
    repeats: pd.DataFrame
    under_cost: pd.DataFrame
    actions: tuple[Action, ...]
    left_out: str


def month_days(month: str) -> tuple[date, date]:
    """Return the first and last day of a month written as 2026-03.

    Raises ValueError for a text that is no month.
    """
    first = date.fromisoformat(f"{month}-01")
    following = (first + timedelta(days=32)).replace(day=1)
    return first, following - timedelta(days=1)


def months_before(month: str, count: int) -> tuple[date, date]:
    """Return the first and last day of the `count` months before a month."""
    first, _ = month_days(month)
    start = first
    for _ in range(count):
        start = (start - timedelta(days=1)).replace(day=1)
    return start, first - timedelta(days=1)


def review(
    month: str,
    measure: Measure,
    rows: Measure,
    filters: Filters,
    settings: dict[str, Any],
    labels: Labels,
) -> MonthReview:
    """Return the review of one month under the filters (their dates are not used).

    `measure(name, filters, **parameters)` and `rows(name, filters, **parameters)` give tables. A
    month without jobs gives a review that says so.
    """
    first, last = month_days(month)
    start, end = months_before(month, BASELINE_MONTHS)
    now = replace(filters, from_date=first, to_date=last)
    before = replace(filters, from_date=start, to_date=end)
    year = replace(filters, from_date=start, to_date=last)
    signals = measure("month_signals", replace(filters, from_date=None, to_date=last))
    repeats = measure("repeat_visits", now)
    under = under_cost(measure("flat_rate", year), labels)
    patterns = patterns_of(measure, rows, now)
    return MonthReview(
        month,
        _headline(signals, month, settings),
        _changes(measure, rows, now, before, signals, month, settings),
        signals,
        tuple(cost for cost, _ in patterns[:3]),
        repeats,
        under,
        actions(rows, now, year, patterns, repeats, under),
        _left_out(measure("first_time_fix", now)),
    )


def _headline(signals: pd.DataFrame, month: str, settings: dict[str, Any]) -> str:
    row = signals[signals["month"] == month]
    if row.empty:
        return "No repair was closed in this month."
    told = fairness_words.month(row.iloc[0], settings["callback_window_days"], settings["min_jobs"])
    return f"First-time fix: {told}"


def _changes(
    measure: Measure,
    rows: Measure,
    now: Filters,
    before: Filters,
    signals: pd.DataFrame,
    month: str,
    settings: dict[str, Any],
) -> tuple[Change, ...]:
    ours, earlier = measure("month_review", now), measure("month_review", before)
    if ours.empty:
        return ()
    row = ours.iloc[0]
    jobs_now, jobs_before = rows("month_jobs", now), rows("month_jobs", before)
    months = max(len(earlier), 1)
    return (
        Change(
            "Jobs closed",
            f"{row.closed:,}",
            words.number(earlier["closed"].sum() / months, 0) + " a month",
            "a count, not a sample",
        ),
        _fix_change(signals, month),
        _callback_change(measure("callbacks", now), measure("callbacks", before)),
        _median_change("Minutes per job", "labour_min", jobs_now, jobs_before, "min"),
        _median_change("Charge per job", "charged", jobs_now, jobs_before, ""),
        Change(
            "Revenue",
            words.number(row.revenue, 0),
            words.number(earlier["revenue"].sum() / months, 0) + " a month"
            if earlier["charged_jobs"].sum()
            else "–",
            "a sum, not a sample",
        ),
        _margin_change(row, earlier),
    )


def _fix_change(signals: pd.DataFrame, month: str) -> Change:
    row = signals[signals["month"] == month]
    if row.empty or row.iloc[0].mature == 0:
        return Change("First-time fix", "not yet known", "–", "pending")
    found = row.iloc[0]
    return Change(
        "First-time fix",
        f"{found.fixed_first_time:,.0f} of {found.mature:,.0f}, {words.percent(found.rate)} "
        f"({words.percent_range(found.low, found.high)})",
        words.percent(found.centre),
        fairness_words.month_verdict(found),
    )


def _callback_change(ours: pd.DataFrame, earlier: pd.DataFrame) -> Change:
    if ours.empty or ours.iloc[0].mature == 0:
        return Change("Callbacks", "not yet known", "–", "pending")
    row = ours.iloc[0]
    told = words.rate(row.callbacks_in_window, row.mature, row.low, row.high)
    if earlier.empty or earlier.iloc[0].mature == 0:
        return Change("Callbacks", told, "–", "no months before")
    base = earlier.iloc[0]
    difference = newcombe_difference(
        row.callbacks_in_window, row.mature, base.callbacks_in_window, base.mature
    )
    return Change(
        "Callbacks",
        told,
        words.percent(base.rate),
        _verdict(float(difference.low), float(difference.high)),
    )


def _median_change(
    name: str, column: str, ours: pd.DataFrame, earlier: pd.DataFrame, unit: str
) -> Change:
    """Compare medians; the interval of their difference is a bootstrap with a fixed seed."""
    now, before = ours[column].dropna().to_numpy(), earlier[column].dropna().to_numpy()
    if len(now) == 0:
        return Change(name, "–", "–", "cannot be said from these records")
    told = f"{words.number(float(np.median(now)), 0, unit)} (median of {len(now):,})"
    if len(before) == 0:
        return Change(name, told, "–", "no months before")
    generator = np.random.default_rng(SEED)
    draws = median_draws(now, generator) - median_draws(before, generator)
    low, high = percentile_interval(draws)
    return Change(name, told, words.number(float(np.median(before)), 0, unit), _verdict(low, high))


def _verdict(low: float, high: float) -> str:
    """Say whether a difference with this 95 % interval is more than chance."""
    if np.isnan(low) or np.isnan(high):
        return "cannot be said"
    if low > 0:
        return "higher, more than chance explains"
    if high < 0:
        return "lower, more than chance explains"
    return "within normal variation"


def _margin_change(row: pd.Series, earlier: pd.DataFrame) -> Change:
    if words.is_missing(row.parts_margin):
        return Change("Margin on parts", "–", "–", "cannot be said from these records")
    charged, cost = earlier["parts_charged"].sum(), earlier["parts_cost"].sum()
    before = words.percent((charged - cost) / charged) if charged else "–"
    return Change(
        "Margin on parts",
        f"{words.percent(row.parts_margin)} (of {row.parts_jobs:,} jobs)",
        before,
        "a ratio of sums, not a sample",
    )


def _left_out(table: pd.DataFrame) -> str:
    if table.empty:
        return "No repaired complaint in this month."
    row = table.iloc[0]
    return (
        f"Of {row.repaired:,} repaired complaints, {row.pending:,} are pending (too young to tell) "
        f"and {row.left_out:,} are left out because their appliance or their visits are not known."
    )
