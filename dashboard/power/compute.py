"""The shop's own counts → what each page can find in them, and how often it errs."""

from collections.abc import Callable, Mapping
from typing import Any

import numpy as np
import pandas as pd
from scipy.special import ndtr, ndtri

from dashboard.fairness.compute import month_signals
from dashboard.power.meters import meter_check
from dashboard.power.parts import early_parts
from dashboard.pricing.job_costs import with_costs
from dashboard.pricing.terms import Terms, terms_of
from dashboard.stats import power

Rows = Callable[[str], pd.DataFrame]
COLUMNS = ["page", "n", "usual", "found", "false_flags"]
MONTHS = 12
FEWEST_REPAIRS = 2  # jobs from which on money left has a spread


def how_far_to_trust(table: pd.DataFrame, rows: Rows, settings: Mapping[str, Any]) -> pd.DataFrame:
    """Return one row per page; values that cannot be said are missing. No records: no rows."""
    if table.empty:
        return pd.DataFrame(columns=COLUMNS)
    found = {
        "misdiagnosis": misdiagnosis(table),
        "meter_check": meter_check(rows("measures/meter_check")),
        "early_parts": early_parts(rows("measures/early_parts")),
        "month_signals": month(rows("measures/month_signals"), rows),
        "flat_rate": flat_rate(rows("measures/flat_rate"), terms_of(settings)),
    }
    result = pd.DataFrame([{"page": page} | row for page, row in found.items()], columns=COLUMNS)
    result[COLUMNS[1:]] = result[COLUMNS[1:]].astype(float)
    return result


def misdiagnosis(table: pd.DataFrame) -> dict[str, float | None]:
    """Return what wrong rate of one technician is found among the others of this shop."""
    judged = table.loc[table["judged"] > 0, "judged"].to_numpy(float)
    usual = float(table["wrong"].sum() / max(judged.sum(), 1))
    if len(judged) < 2 or not 0 < usual < 1:
        return {}
    worth = np.maximum(judged * (judged.sum() - judged) / judged.sum(), 1).astype(int)
    typical = int(np.median(worth))
    chances = [power.chance_outside(usual, int(n), usual, side) for n in worth for side in (-1, 1)]
    return {
        "n": float(np.median(judged)),
        "usual": usual,
        "found": power.smallest_found(
            lambda rate: power.chance_outside(rate, typical, usual, 1), usual, 1.0
        ),
        "false_flags": power.any_of(chances),
    }


def month(table: pd.DataFrame, rows: Rows) -> dict[str, float | None]:
    """Return how bad a month of typical size must be to lie beyond 3 sigma."""
    months = month_signals(table, rows).dropna(subset=["centre", "lower_3s"])
    if months.empty:
        return {}
    typical = months.iloc[(months["mature"] - months["mature"].median()).abs().argmin()]
    n, centre, low = int(typical.mature), float(typical.centre), float(typical.lower_3s)
    above = power.chance_below(1 - centre, n, 1 - float(typical.upper_3s))
    false = power.chance_below(centre, n, low) + above
    return {
        "n": n,
        "usual": centre,
        "found": power.smallest_found(lambda rate: power.chance_below(rate, n, low), centre, 0.0),
        "false_flags": power.any_of([false] * MONTHS),
    }


def flat_rate(rows: pd.DataFrame, terms: Terms) -> dict[str, float | None]:
    """Return how far under its cost the typical repair must be charged to be listed as losing."""
    costed = with_costs(rows, terms)[["appliance_kind", "repair_code", "charged", "cost"]]
    costed = costed.assign(left=costed["charged"] - costed["cost"]).dropna(subset=["left"])
    known = [
        (len(jobs), float(jobs["left"].std(ddof=1)), float(jobs["cost"].mean()))
        for _, jobs in costed.groupby(["appliance_kind", "repair_code"])
        if len(jobs) >= FEWEST_REPAIRS
    ]
    if not known:
        return {}
    n, spread, cost = sorted(known)[len(known) // 2]
    error = spread / np.sqrt(n)
    earned = cost * terms.target_margin / (1 - terms.target_margin)
    return {
        "n": n,
        "usual": cost,
        "found": float(ndtri(power.POWER) * error),
        "false_flags": float(ndtr(-earned / error)) if error > 0 else 0.0,
    }
