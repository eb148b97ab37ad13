"""Months that are not like the others of their side, and how much months differ anyway."""

import numpy as np
import pandas as pd

from dashboard.stats.stratified import dispersion

STRATUM = ["appliance_kind", "symptom"]
BAD, SPECIAL = 2.5, 3.0  # standard errors from the other months of the side
PROMPTS = 4  # months up to the change that may have prompted it
NORMAL_MAD = 1.4826  # of a normal distribution, standard deviation over MAD
LEAST_MONTHS = 6  # that say how much months differ
BEFORE, BETWEEN, AFTER = "before", "between", "after"


def spread(own: pd.DataFrame) -> float:
    """Return how much more the months of either side vary than chance and their work explain."""
    sides = [_expected(own, period) for period in (BEFORE, AFTER)]
    return dispersion(*([one[name] for one in sides] for name in ("amount", "expected", "chance")))


def bad_months(own: pd.DataFrame, wants_more: bool) -> list[tuple[str, str]]:
    """Return the bad months that may have prompted the change: those beyond BAD of the others."""
    away = _away(own, BEFORE).tail(PROMPTS)
    is_bad = (away <= -BAD) if wants_more else (away >= BAD)
    return [(BEFORE, str(month)) for month in away.index[is_bad]]


def special_months(own: pd.DataFrame) -> list[tuple[str, str]]:
    """Return the months of either side, good or bad, beyond SPECIAL of the others of their side.

    One at a time, the farthest first: it would make its neighbors look special.
    """
    found: list[tuple[str, str]] = []
    for period in (BEFORE, AFTER):
        left = own
        while len(away := _away(left, period)) and away.abs().max() > SPECIAL:
            month = str(away.abs().idxmax())
            found.append((period, month))
            left = left[left["month"] != month]
    return found


def _expected(own: pd.DataFrame, period: str) -> pd.DataFrame:
    """Return the sum of each month, that expected of its kinds and complaints, and its variance."""
    side = own[(own["period"] == period) & (own["jobs"] > 0)]
    sums = side.groupby(STRATUM)[["amount", "squares", "jobs"]].transform("sum")
    mean = sums["amount"] / sums["jobs"]
    variance = (sums["squares"] / sums["jobs"] - mean**2).clip(lower=0)
    parts = side.assign(expected=side["jobs"] * mean, chance=side["jobs"] * variance)
    return parts.groupby("month")[["amount", "expected", "chance"]].sum()


def _away(own: pd.DataFrame, period: str) -> pd.Series:
    """Return how far each month lies from the others of its side, in standard errors.

    What is expected of a month is that of its own kinds and complaints. Where months differ more
    than chance explains, the middle half of them says by how much (MAD, Rousseeuw and Croux 1993).
    """
    months = _expected(own, period)
    others = months.sum() - months
    usual = months["expected"] * others["amount"] / others["expected"].where(others["expected"] > 0)
    error = months["chance"] * (1 + months["chance"] / others["chance"].where(others["chance"] > 0))
    away: pd.Series = ((months["amount"] - usual) / np.sqrt(error.where(error > 0))).fillna(0.0)
    usual_away = float((away - away.median()).abs().median()) * NORMAL_MAD
    return away / max(usual_away, 1.0) if len(away) >= LEAST_MONTHS else away
