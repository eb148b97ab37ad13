"""Any two periods compared: each figure of both, and whether chance explains the difference."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date

import numpy as np
import pandas as pd

from dashboard.filters import Filters
from dashboard.month.review import Records
from dashboard.rows import Row
from dashboard.stats.bootstrap import median_draws, percentile_interval
from dashboard.stats.proportion import newcombe_difference
from dashboard.text import format as words

SEED = 20
MONTHS_BEFORE = 12  # what a month is compared with at first
NO_TEST, UNKNOWN = "no test applies", "cannot be said from these records"
Period = tuple[date, date]


@dataclass(frozen=True)
class Compared:
    """One figure of two periods as text, and whether the first differs from the second."""

    name: str
    first: str
    second: str
    verdict: str


def compared(
    first: Period, second: Period, records: Records, filters: Filters
) -> tuple[Compared, ...]:
    """Return the figures of two periods, first and last day included; dates of `filters` unused."""
    chosen = [
        replace(filters, from_date=period[0], to_date=period[1]) for period in (first, second)
    ]
    jobs = [records.pages("month_jobs", one) for one in chosen]
    weeks = [((last - start).days + 1) / 7 for start, last in (first, second)]
    return (
        _rate("First-time fix", "first_time_fix", "fixed_first_time", records, chosen),
        _rate("Callbacks", "callbacks", "callbacks_in_window", records, chosen),
        _sums("Jobs closed", [float(len(one)) for one in jobs], weeks, words.number),
        _median("Minutes per job", "labour_min", jobs, words.minutes),
        _median("Charge per job", "charged", jobs, lambda v: words.money(v, records.currency)),
        _sums(
            "Revenue",
            [one["charged"].sum(min_count=1) for one in jobs],
            weeks,
            lambda v: words.money(v, records.currency),
        ),
        _margin(records, chosen),
    )


def _rate(name: str, measure: str, count: str, records: Records, chosen: list[Filters]) -> Compared:
    rows = [_only(records.measure(measure, one)) for one in chosen]
    shown = ["no job past the window" if row is None else _shown(row, count) for row in rows]
    counts = [(int(row[count]), int(row["mature"])) for row in rows if row is not None]
    if len(counts) < 2:
        return Compared(name, shown[0], shown[1], UNKNOWN)
    difference = newcombe_difference(*counts[0], *counts[1])
    return Compared(
        name, shown[0], shown[1], verdict(float(difference.low), float(difference.high))
    )


def _only(table: pd.DataFrame) -> Row | None:
    """Return the row of a measure without groups; None when no job is past the window."""
    is_known = len(table) and table.iloc[0]["mature"] > 0
    return table.iloc[0] if is_known else None


def _shown(row: Row, count: str) -> str:
    return words.rate(row[count], row["mature"], row["low"], row["high"])


def _median(
    name: str, column: str, jobs: list[pd.DataFrame], shown: Callable[[float | None], str]
) -> Compared:
    """Compare medians; the interval of their difference is a bootstrap with a fixed seed."""
    values = [one[column].dropna().to_numpy(float) for one in jobs]
    texts = [
        f"{shown(float(np.median(one)))} (median of {words.counted(len(one), 'job')})"
        if len(one)
        else words.MISSING
        for one in values
    ]
    if not all(len(one) for one in values):
        return Compared(name, texts[0], texts[1], UNKNOWN)
    generator = np.random.default_rng(SEED)
    draws = median_draws(values[0], generator) - median_draws(values[1], generator)
    low, high = percentile_interval(draws) or (np.nan, np.nan)
    return Compared(name, texts[0], texts[1], verdict(low, high))


def _sums(
    name: str, sums: list[float], weeks: list[float], shown: Callable[[float | None], str]
) -> Compared:
    texts = [
        words.MISSING if words.is_missing(one) else f"{shown(one)} ({shown(one / count)} a week)"
        for one, count in zip(sums, weeks, strict=True)
    ]
    return Compared(name, texts[0], texts[1], NO_TEST)


def _margin(records: Records, chosen: list[Filters]) -> Compared:
    texts = []
    for one in chosen:
        months = records.measure("month_review", one)
        charged, cost = months["parts_charged"].sum(), months["parts_cost"].sum()
        texts.append(words.percent((charged - cost) / charged) if charged else words.MISSING)
    return Compared("Parts margin", texts[0], texts[1], NO_TEST)


def verdict(low: float, high: float) -> str:
    """Say whether a difference with this 95% interval is real."""
    if np.isnan(low) or np.isnan(high):
        return UNKNOWN
    if low > 0:
        return "yes, higher"
    return "yes, lower" if high < 0 else "no, within chance"
