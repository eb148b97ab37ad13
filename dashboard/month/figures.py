"""The six figures of a month: value, usual value, normal range, and twelve months of history."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd

from dashboard.rows import Row
from dashboard.stats.control_chart import p_chart
from dashboard.stats.individuals_chart import LEAST_MONTHS, normal_range
from dashboard.text import format as words

MONTHS_BEFORE = 12
Shown = Callable[[float | None], str]


@dataclass(frozen=True)
class Figure:
    """One figure of the month as text and numbers; None where the records cannot say.

    `change` is the difference from the usual value, `better` the direction that is good news: 1 up,
    -1 down, 0 neither. `history`: (month, value), oldest first, the month itself last.
    """

    name: str
    value: float | None
    shown: str
    usual: float | None
    usual_shown: str
    range_shown: str
    low: float | None
    high: float | None
    change: str
    better: int
    basis: str
    history: tuple[tuple[str, float], ...]

    @property
    def direction(self) -> int:
        """Return 1 above the usual value, -1 below it, 0 when equal as shown, or unknown."""
        if self.value is None or self.usual is None or self.change.startswith("0"):
            return 0
        return int(np.sign(self.value - self.usual))

    @property
    def verdict(self) -> str:
        """Say where the value lies: within normal range, above or below it, or why not."""
        if self.value is None:
            return "cannot be said from these records"
        if self.low is None or self.high is None:
            return f"fewer than {LEAST_MONTHS} months to compare with"
        if self.value < self.low:
            return "below normal range"
        return "above normal range" if self.value > self.high else "within normal range"


def figures(
    month: str, signals: pd.DataFrame, callbacks: pd.DataFrame, totals: pd.DataFrame, currency: str
) -> tuple[Figure, ...]:
    """Return the six figures of a month.

    `signals`, `callbacks`, `totals`: the measures month_signals, callbacks by month, month_review,
    each over all months. Rates have the limits of the chart of months; the others the range of up
    to twelve months before.
    """
    return (
        _rate("First-time fix", "fixed_first_time", month, signals, 1),
        _rate("Callbacks", "callbacks_in_window", month, with_limits(callbacks, signals), -1),
        _total("Jobs closed", "closed", month, totals, words.number, 1),
        _total("Minutes per job", "median_minutes", month, totals, words.minutes, 0),
        _total("Revenue", "revenue", month, totals, lambda v: words.money(v, currency), 1),
        _total("Parts margin", "parts_margin", month, totals, words.percent, 1),
    )


def with_limits(callbacks: pd.DataFrame, signals: pd.DataFrame) -> pd.DataFrame:
    """Return the monthly callbacks with centre and limits from the baseline of `signals`."""
    months = callbacks.rename(columns={"group": "month"})
    baseline = signals.loc[signals["is_baseline"].fillna(False).astype(bool), "month"]
    known = months[months["mature"] > 0]
    chart = p_chart(known["callbacks_in_window"], known["mature"], known["month"].isin(baseline))
    columns = ["centre", "lower_3s", "upper_3s"]
    if chart is None:
        return months.assign(**dict.fromkeys(columns, np.nan))
    limits = [np.broadcast_to(chart.centre, len(known)), *chart.limits()]
    return months.join(pd.DataFrame(dict(zip(columns, limits, strict=True)), index=known.index))


def _rate(name: str, count: str, month: str, table: pd.DataFrame, better: int) -> Figure:
    rows = table[table["month"] <= month].tail(MONTHS_BEFORE)
    found = rows[rows["month"] == month]
    if found.empty or found.iloc[0]["mature"] == 0:
        return _unknown(name, better)
    row: Row = found.iloc[0]
    usual, low, high = (_number(row[key]) for key in ("centre", "lower_3s", "upper_3s"))
    return Figure(
        name,
        float(row["rate"]),
        words.percent(row["rate"]),
        usual,
        words.percent(usual),
        words.percent_range(low, high),
        low,
        high,
        "" if usual is None else words.points(row["rate"] - usual),
        better,
        f"{row[count]:,.0f} of {words.counted(row['mature'], 'job')}",
        _history(rows, "rate"),
    )


def _total(
    name: str, column: str, month: str, table: pd.DataFrame, shown: Shown, better: int
) -> Figure:
    rows = table[table["month"] <= month].tail(MONTHS_BEFORE + 1)
    found = rows.loc[rows["month"] == month, column]
    value = _number(found.iloc[0]) if len(found) else None
    if value is None:
        return _unknown(name, better)
    limits = normal_range(rows.loc[rows["month"] < month, column].astype(float).tolist())
    usual, low, high = limits or (None, None, None)
    low = None if low is None else max(low, 0.0)
    is_share = column == "parts_margin"
    return Figure(
        name,
        value,
        shown(value),
        usual,
        shown(usual),
        words.MISSING if limits is None else f"{shown(low)} to {shown(high)}",
        low,
        high,
        _change(value, usual, is_share),
        better,
        "",
        _history(rows.tail(MONTHS_BEFORE), column),
    )


def _change(value: float, usual: float | None, is_share: bool) -> str:
    if usual is None:
        return ""
    if is_share:
        return words.points(value - usual)
    if usual == 0:
        return ""
    change = round(100 * (value / usual - 1))
    return f"{change:+d}%".replace("-", words.MINUS) if change else "0%"


def _unknown(name: str, better: int) -> Figure:
    dash = words.MISSING
    return Figure(name, None, dash, None, dash, dash, None, None, "", better, "", ())


def _number(value: float | None) -> float | None:
    return None if words.is_missing(value) else float(value)


def _history(rows: pd.DataFrame, column: str) -> tuple[tuple[str, float], ...]:
    known: Sequence[Any] = rows.loc[rows[column].notna(), ["month", column]].to_numpy().tolist()
    return tuple((str(month), float(value)) for month, value in known)
