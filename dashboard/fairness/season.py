"""Calls by month of opening → the season of each complaint, over whole years."""

from calendar import monthrange
from collections.abc import Callable, Iterator
from datetime import date
from typing import Any

import numpy as np
import pandas as pd

from dashboard.stats.multiple_testing import q_values
from dashboard.stats.seasonal import MONTHS, season_of

ALL = "all"
MOST_FALSE = 0.05  # of the complaints called seasonal
BEGINS_BY_DAY = 3  # records that begin by then hold the whole month, but for a weekend
COLUMNS = [
    "appliance_kind", "symptom", "month", "calls", "times", "months", "index", "low", "high",
    "expected_calls", "expected_hours", "p_value", "q_value", "seasonal", "first_month",
    "last_month",
]  # fmt: skip

NUMBERS = ("index", "low", "high", "expected_calls", "expected_hours")


def season(table: pd.DataFrame, _rows: Callable[[str], pd.DataFrame] | None = None) -> pd.DataFrame:
    """Return twelve rows for each complaint, for each appliance and for all (sql/measures/season).

    `times`: in how many years the month was counted. `months`: whole months counted; with under 24
    index and limits are missing, and `calls` are those of all whole months. No whole month: an
    empty table.
    """
    if table.empty:
        return pd.DataFrame(columns=COLUMNS)
    months = whole_months(table["begins_on"].iloc[0], table["ends_on"].iloc[0])
    years = len(months) // MONTHS
    counted = months[-years * MONTHS :] if years >= 2 else months
    if not counted:
        return pd.DataFrame(columns=COLUMNS)
    found = [
        row
        for kind, symptom, rows in _groups(table)
        for row in _rows_of(kind, symptom, rows, counted)
    ]
    return _judged(pd.DataFrame(found))[COLUMNS]


def whole_months(begins: Any, ends: Any) -> list[str]:
    """Return the months ("2026-03") that lie wholly between two days, both in."""
    first, last = pd.Timestamp(begins).date(), pd.Timestamp(ends).date()
    place = first.year * MONTHS + first.month - 1 + (first.day > BEGINS_BY_DAY)
    end = last.year * MONTHS + last.month - 1
    if last.day == monthrange(last.year, last.month)[1]:
        end += 1
    return [f"{date(n // MONTHS, n % MONTHS + 1, 1):%Y-%m}" for n in range(place, end)]


def _groups(table: pd.DataFrame) -> Iterator[tuple[str, str, pd.DataFrame]]:
    yield ALL, ALL, table
    for kind, rows in table.groupby("appliance_kind", sort=True):
        yield str(kind), ALL, rows
        for symptom, own in rows.groupby("symptom", sort=True):
            yield str(kind), str(symptom), own


def _rows_of(
    kind: str, symptom: str, rows: pd.DataFrame, counted: list[str]
) -> Iterator[dict[str, Any]]:
    """Return a row for each calendar month, January first."""
    calls = rows.groupby("opened_month")["calls"].sum().reindex(counted, fill_value=0)
    values, timed = calls.to_numpy(int), rows["timed"].sum()
    hours = rows["minutes"].sum() / timed / 60 if timed else None
    names = [int(month[5:]) for month in counted]
    is_years = len(counted) % MONTHS == 0 and len(counted) >= 2 * MONTHS
    found = season_of(values.reshape(-1, MONTHS), names[0]) if is_years else None
    lately = values[-MONTHS:].mean()
    for month in range(1, MONTHS + 1):
        of_month = np.array(names) == month
        place = names.index(month) if found else 0
        expected = found.index[place] * lately if found else None
        yield {
            "appliance_kind": kind,
            "symptom": symptom,
            "month": month,
            "calls": int(values[of_month].sum()),
            "times": int(of_month.sum()),
            "months": len(counted),
            "index": found.index[place] if found else None,
            "low": found.low[place] if found else None,
            "high": found.high[place] if found else None,
            "expected_calls": expected,
            "expected_hours": None if expected is None or hours is None else expected * hours,
            "p_value": found.p_value if found else None,
            "first_month": counted[0],
            "last_month": counted[-1],
        }


def _judged(rows: pd.DataFrame) -> pd.DataFrame:
    """Add q_value and seasonal over the complaints; sums over complaints are not tested."""
    rows = rows.astype(dict.fromkeys(NUMBERS, "float64"))
    rows["p_value"] = rows["p_value"].astype("float64")
    rows.loc[rows["symptom"] == ALL, "p_value"] = float("nan")
    own = rows[rows["month"] == 1]
    p_values = [None if pd.isna(p) else float(p) for p in own["p_value"]]
    judged = own[["appliance_kind", "symptom"]].assign(
        q_value=pd.Series(q_values(p_values), own.index, dtype="float64")
    )
    rows = rows.merge(judged, on=["appliance_kind", "symptom"], how="left")
    return rows.assign(seasonal=rows["q_value"] <= MOST_FALSE)
