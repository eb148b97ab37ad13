"""The month as one object: everything that the page and the printed month say."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cache, partial
from typing import Any

import pandas as pd

from dashboard.charts.marks import Mark
from dashboard.database.labels import Labels
from dashboard.filters import Filters
from dashboard.month import actions as to_do
from dashboard.month import sentences
from dashboard.month.actions import Action
from dashboard.month.figures import Figure, figures
from dashboard.month.periods import month_before, month_days
from dashboard.rows import Row, each_row

Measure = Callable[..., pd.DataFrame]
VIEWS = {  # how the departure is also split: column of jobs_not_fixed → noun
    "technician": "technician",
    "appliance_kind": "appliance",
    "part_no": "part number",
}


@dataclass(frozen=True)
class Records:
    """What a month is computed from: tables by name and filters, labels, settings, currency.

    `measure`, `pages`: name, filters, parameters → table; `base`: the rows beneath a measure.
    `as_of`: the last day of the records.
    """

    measure: Measure
    pages: Measure
    base: Measure
    labels: Labels
    settings: dict[str, Any]
    currency: str
    as_of: date


@dataclass(frozen=True)
class MonthReview:
    """One month. `views`: "reason" and each of VIEWS → its rows of month_reasons, with label.

    What to do rests on the prices, which take longest: it is found when it is first asked for.
    `marks`: the changes noted until the end of the month; `targets`, `not_written`: sentences.
    """

    month: str
    headline: str
    is_complete: bool
    figures: tuple[Figure, ...]
    departure: str
    views: dict[str, pd.DataFrame]
    standing_out: str
    jobs: pd.DataFrame
    signals: pd.DataFrame
    counted: str
    find_actions: Callable[[], tuple[Action, ...]] = field(repr=False, compare=False)
    marks: tuple[Mark, ...] = ()
    targets: tuple[str, ...] = ()
    not_written: str = ""

    @property
    def actions(self) -> tuple[Action, ...]:
        """What to do next, the most urgent first."""
        return self.find_actions()


def review(month: str, records: Records, filters: Filters) -> MonthReview:
    """Return the review of one month under the filters; their dates act on the prices alone.

    A month without jobs gives a review that says so. Raises ValueError for a text that is not a
    month.
    """
    first, last = month_days(month)
    ever = replace(filters, from_date=None, to_date=None)
    now = replace(filters, from_date=first, to_date=last)
    signals = records.measure("month_signals", ever)
    callbacks = records.measure("callbacks", ever, group_by="month")
    totals = records.measure("month_review", ever)
    found = figures(month, signals, callbacks, totals, records.currency)
    views, jobs = split(month, records, ever), records.pages("jobs_not_fixed", now)
    signal = _row(signals, "month", month)
    reasons, least = views["reason"], records.settings["min_jobs"]
    nouns = {noun: views[view] for view, noun in VIEWS.items()}
    return MonthReview(
        month,
        sentences.headline(month, found[0], signal, reasons, least),
        records.as_of >= last,
        found,
        sentences.departure(reasons),
        views,
        sentences.standing_out(nouns),
        jobs,
        signals[signals["month"] <= month],
        _counted(month, records, now, callbacks, totals),
        # a cached property would hold one lock for the months of all threads (Python 3.11)
        cache(partial(_actions, month, records, filters, views, jobs)),
    )


def split(month: str, records: Records, filters: Filters) -> dict[str, pd.DataFrame]:
    """Return the month's departure by reason and by each of VIEWS, largest first, with labels."""
    views = {}
    for view in ("reason", *VIEWS):
        group_by = None if view == "reason" else view
        table = records.measure("month_reasons", filters, group_by=group_by, month=month)
        table["label"] = [_label(view, row, records.labels) for row in each_row(table)]
        views[view] = table.sort_values(
            ["is_mix", "excess", "group"], ascending=[True, False, True], kind="stable"
        ).reset_index(drop=True)
    return views


def _label(view: str, row: Row, labels: Labels) -> str:
    if row.is_mix:
        return "Harder or easier work than usual"
    if view == "reason":
        return sentences.name_of(row.group)
    return labels.of("appliance_kind", row.group) if view == "appliance_kind" else row.group


def _actions(
    month: str,
    records: Records,
    filters: Filters,
    views: dict[str, pd.DataFrame],
    jobs: pd.DataFrame,
) -> tuple[Action, ...]:
    """Return what to do, marked where the month before asked for the same."""
    before = month_before(month)
    first, last = month_days(before)
    ever = replace(filters, from_date=None, to_date=None)
    then = records.pages("jobs_not_fixed", replace(filters, from_date=first, to_date=last))
    prices = _prices(records, filters)
    found = _of_month(records, views, jobs) + prices
    totals = records.measure("month_review", ever)
    has_before = (totals["month"] == before).any()
    earlier = _of_month(records, split(before, records, ever), then) + prices if has_before else []
    return to_do.ranked(found, earlier)


def _of_month(records: Records, views: dict[str, pd.DataFrame], jobs: pd.DataFrame) -> list[Action]:
    found = to_do.of_reasons(views["reason"], jobs, records.currency)
    for view in VIEWS:
        found += to_do.of_groups(view, views[view], jobs, records.currency)
    return found


def _prices(records: Records, filters: Filters) -> list[Action]:
    """Return the repairs to reprice: the figures of Flat rates under the same filters."""
    losing = to_do.losing_repairs(records.measure("flat_rate", filters))
    if losing.empty:
        return []
    names = [
        f"{records.labels.of('repair_code', row.repair_code, row.appliance_kind)}, "
        f"{records.labels.of('appliance_kind', row.appliance_kind)}"
        for row in each_row(losing)
    ]
    months = (records.measure("month_review", filters)["closed"] > 0).sum()
    jobs = records.base("flat_rate", filters)
    return to_do.of_prices(losing.assign(label=names), jobs, int(months), records.currency)


def _counted(
    month: str, records: Records, now: Filters, callbacks: pd.DataFrame, totals: pd.DataFrame
) -> str:
    row, fix = _row(totals, "month", month), records.measure("first_time_fix", now)
    returned = _row(callbacks, "group", month)
    return sentences.counted_jobs(
        0 if row is None else int(row["closed"]),
        None if fix.empty else fix.iloc[0],
        0 if returned is None else int(returned["mature"]),
        records.settings["callback_window_days"],
    )


def _row(table: pd.DataFrame, column: str, value: str) -> pd.Series | None:
    found = table[table[column] == value]
    return None if found.empty else found.iloc[0]
