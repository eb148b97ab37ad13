"""Readings → limit review and meter check: what SQL cannot do for these two measures."""

from collections.abc import Callable
from typing import Any

import numpy as np
import pandas as pd

from dashboard.rows import Row
from dashboard.stats.meter_bias import FEWEST, FEWEST_OTHERS, Readings, medians
from dashboard.stats.meter_rounds import meter_shifts
from dashboard.stats.roc import best_limit, roc_area
from dashboard.stats.weighted_sample import Counted

ENOUGH = 30
LEAST_AREA = 0.7  # that the interval must lie above for a limit to be suggested
REVIEW_COLUMNS = (
    "test_point",
    "n_condemned",
    "n_good",
    "auc",
    "auc_low",
    "auc_high",
    "best_limit",
    "youden",
    "register_low",
    "register_high",
    "unit",
    "condemns",
    "best_low",
    "best_high",
    "sensitivity",
    "specificity",
    "is_suggested",
    "register_fail_below",
    "register_fail_above",
    "no_limit_because",
)
CHECK_COLUMNS = (
    "technician",
    "test_point",
    "n",
    "shift",
    "shift_low",
    "shift_high",
    "p_value",
    "q_value",
    "flagged",
    "unit",
    "median",
    "others_median",
    "others_n",
    "meter_accuracy",
)
CHECK_NAMES = {
    "low": "shift_low",
    "high": "shift_high",
    "is_flagged": "flagged",
    "accuracy": "meter_accuracy",
}
REGISTER = ("register_low", "register_high", "register_fail_below", "register_fail_above")


def limit_review(readings: pd.DataFrame, _rows: object = None) -> pd.DataFrame:
    """Return one row per test point that has a condemned and a good part, by test point.

    `auc` is the chance that the reading orders a condemned and a good part rightly, on the side
    (`condemns` above or below) where condemned parts lie. A limit and its bootstrap interval are
    given only with 30 of each, an area whose interval is above 0.7 and nothing in
    `no_limit_because` (`is_suggested`), else NULL. No readings give no rows.
    """
    rows = [
        _reviewed(str(point), group) for point, group in readings.groupby("test_point", sort=True)
    ]
    return pd.DataFrame([row for row in rows if row], columns=list(REVIEW_COLUMNS))


def _reviewed(point: str, group: pd.DataFrame) -> dict[str, Any] | None:
    rising = group.sort_values("value", na_position="last")
    values = rising["value"].fillna(np.inf).to_numpy(float)
    bad, good = (Counted(values, rising[side].to_numpy(int)) for side in ("condemned", "good"))
    area = roc_area(bad, good)
    if area is None:
        return None
    is_above = area.area >= 0.5
    first: Row = group.iloc[0]
    row = {
        "test_point": point,
        "n_condemned": len(bad),
        "n_good": len(good),
        "auc": area.area if is_above else 1 - area.area,
        "auc_low": area.low if is_above else 1 - area.high,
        "auc_high": area.high if is_above else 1 - area.low,
        "unit": first["unit"],
        "condemns": "above" if is_above else "below",
        "no_limit_because": _no_limit_because(first["no_limit_because"], bad),
    } | {name: first[name] for name in REGISTER}
    is_telling = (
        row["no_limit_because"] is None
        and row["auc_low"] > LEAST_AREA
        and min(len(bad), len(good)) >= ENOUGH
    )
    limit = best_limit(bad, good) if is_telling else None
    row["is_suggested"] = limit is not None
    if limit:
        row |= {
            "best_limit": limit.limit,
            "best_low": limit.low,
            "best_high": limit.high,
            "youden": limit.youden,
            "sensitivity": limit.sensitivity,
            "specificity": limit.specificity,
        }
    return row


def limit_curve(readings: pd.DataFrame) -> pd.DataFrame:
    """Return the ROC curve: for each value read, the shares of failed and good parts at or above.

    Rows of pages/limit_readings (value NULL = open, above all) → value, found_above, blamed_above;
    from the limit that condemns fewest. Without failed or good parts: no rows.
    """
    failed = readings["is_failed"].to_numpy(bool)
    if failed.all() or not failed.any():
        return pd.DataFrame(columns=["value", "found_above", "blamed_above"])
    counts = pd.DataFrame(
        {"value": readings["value"].fillna(np.inf), "failed": failed, "good": ~failed}
    )
    steps = counts.groupby("value").sum().sort_index(ascending=False)
    shares = steps.cumsum() / steps.sum()
    return pd.DataFrame(
        {
            "value": shares.index.to_series().replace(np.inf, np.nan).to_numpy(),
            "found_above": shares["failed"].to_numpy(),
            "blamed_above": shares["good"].to_numpy(),
        }
    )


def _no_limit_because(of_test: Any, bad: Counted) -> str | None:
    """Return why no number can be the limit: the kind of test, or failed parts that read open."""
    if not pd.isna(of_test):
        return str(of_test)
    with_number = int(bad.counts[np.isfinite(bad.values)].sum())
    return "open" if with_number < ENOUGH <= len(bad) else None


def meter_check(readings: pd.DataFrame, _rows: object = None) -> pd.DataFrame:
    """Return one row per technician and test point that could be compared.

    `shift` is a fraction of the others' median; how rows are flagged: sql/measures/meter_check.
    Sorted by technician and test point; no readings give no rows.
    """
    who, names = pd.factorize(readings["technician"], sort=True)
    numbered = readings.assign(who=who)
    groups = [
        (point, group, found)
        for point, group in numbered.groupby("test_point", sort=True)
        if (found := readings_of(group)) is not None
    ]
    rows = [
        vars(shift)
        | {"technician": names[shift.who], "test_point": point, "unit": group["unit"].iloc[0]}
        for (point, group, _), shifts in zip(
            groups, meter_shifts([found for *_, found in groups]), strict=True
        )
        for shift in shifts
    ]
    table = pd.DataFrame(rows).rename(columns=CHECK_NAMES).reindex(columns=list(CHECK_COLUMNS))
    table["flagged"] = table["flagged"].astype(bool)
    return table.sort_values(["technician", "test_point"], ignore_index=True)


def readings_of(group: pd.DataFrame) -> Readings | None:
    """Return the readings of one test point by those who have enough; None without three."""
    n = group.groupby("who")["readings"].transform("sum")
    enough = group[n >= FEWEST]
    who, rows = np.unique(enough["who"], return_inverse=True)
    if len(who) <= FEWEST_OTHERS:
        return None
    values, places = np.unique(enough["value"], return_inverse=True)
    read = np.zeros((len(who), len(values)), int)
    np.add.at(read, (rows, places), enough["readings"].to_numpy(int))
    return Readings(who, values, read, _accuracy(enough, rows, len(who)))


def _accuracy(readings: pd.DataFrame, rows: np.ndarray, size: int) -> np.ndarray:
    """Return for each technician the median error of the meter as a fraction; 0 where unknown."""
    error = (readings["meter_error"] / readings["value"]).fillna(0.0).to_numpy(float)
    values, places = np.unique(error, return_inverse=True)
    counts = np.zeros((size, len(values)), int)
    np.add.at(counts, (rows, places), readings["readings"].to_numpy(int))
    return medians(values, counts)


COMPUTE: dict[str, Callable[..., pd.DataFrame]] = {
    "limit_review": limit_review,
    "meter_check": meter_check,
}
