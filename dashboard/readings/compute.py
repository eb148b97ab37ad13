"""Readings → limit review and meter check: what SQL cannot do for these two measures."""

from collections.abc import Iterator

import numpy as np
import pandas as pd

from dashboard.stats.meter_bias import meter_shifts
from dashboard.stats.multiple_testing import q_values
from dashboard.stats.roc import best_limit, roc_area
from dashboard.stats.weighted_sample import Counted

ENOUGH = 30
FALSE_DISCOVERY = 0.05
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
)
REGISTER = ("register_low", "register_high", "register_fail_below", "register_fail_above")


def limit_review(readings: pd.DataFrame, _rows: object = None) -> pd.DataFrame:
    """Return one row per test point that has a condemned and a good part, by test point.

    `auc` is the chance that the reading orders a condemned and a good part rightly, on the side
    (`condemns` above or below) where condemned parts lie. A limit and its bootstrap interval are
    told only with 30 of each and an area whose interval is above one half (`is_suggested`), else
    NULL. No readings give no rows.
    """
    rows = [_reviewed(point, group) for point, group in readings.groupby("test_point", sort=True)]
    return pd.DataFrame([row for row in rows if row], columns=list(REVIEW_COLUMNS))


def _reviewed(point: str, group: pd.DataFrame) -> dict | None:
    rising = group.sort_values("value", na_position="last")
    values = rising["value"].fillna(np.inf).to_numpy(float)
    bad, good = (Counted(values, rising[side].to_numpy(int)) for side in ("condemned", "good"))
    area = roc_area(bad, good)
    if area is None:
        return None
    is_above = area.area >= 0.5
    first = group.iloc[0]
    row = {
        "test_point": point,
        "n_condemned": len(bad),
        "n_good": len(good),
        "auc": area.area if is_above else 1 - area.area,
        "auc_low": area.low if is_above else 1 - area.high,
        "auc_high": area.high if is_above else 1 - area.low,
        "unit": first["unit"],
        "condemns": "above" if is_above else "below",
    } | {name: first[name] for name in REGISTER}
    is_telling = row["auc_low"] > 0.5 and min(len(bad), len(good)) >= ENOUGH
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


def meter_check(readings: pd.DataFrame, _rows: object = None) -> pd.DataFrame:
    """Return one row per technician and test point with at least 8 readings on both sides.

    `shift` is a fraction of the others' median; `flagged` at a false-discovery rate of 5 % over all
    rows. Sorted by technician and test point; no readings give no rows.
    """
    rows = [
        row
        for point, group in readings.groupby("test_point", sort=True)
        for row in _checked(point, group)
    ]
    table = pd.DataFrame(rows, columns=list(CHECK_COLUMNS))
    table["q_value"] = pd.Series(q_values(table["p_value"].tolist()), dtype=float)
    table["flagged"] = table["q_value"] <= FALSE_DISCOVERY
    return table.sort_values(["technician", "test_point"], ignore_index=True)


def _checked(point: str, group: pd.DataFrame) -> Iterator[dict]:
    """Give a row per technician from the readings of one test point."""
    unit = group["unit"].iloc[0]
    values, places = np.unique(group["value"], return_inverse=True)
    who, technicians = pd.factorize(group["technician"], sort=True)
    read = np.zeros((len(technicians), len(values)), int)
    np.add.at(read, (who, places), group["readings"].to_numpy(int))
    for technician, found in zip(technicians, meter_shifts(values, read), strict=True):
        if found:
            yield {
                "technician": technician,
                "test_point": point,
                "n": found.n,
                "shift": found.shift,
                "shift_low": found.low,
                "shift_high": found.high,
                "p_value": found.p_value,
                "unit": unit,
                "median": found.median,
                "others_median": found.others_median,
                "others_n": found.others_n,
            }


COMPUTE = {"limit_review": limit_review, "meter_check": meter_check}
