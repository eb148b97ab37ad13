"""Callback-free curves: who was still seen, and the log-rank test."""

import numpy as np
import pandas as pd

import sql
from dashboard.rows import each_row
from dashboard.stats.log_rank import LogRank, log_rank

HORIZON_DAYS = sql.constant("callback_horizon_days")


def compare_curves(curve: pd.DataFrame) -> LogRank | None:
    """Return the log-rank test of the groups of a callback curve; None when it cannot be made."""
    groups = {
        str(name): {row.day: (row.callbacks, row.censored) for row in each_row(rows)}
        for name, rows in curve.groupby("group", sort=True)
    }
    return log_rank(groups)


def free_curve(days: pd.DataFrame) -> pd.DataFrame:
    """Add the share without a callback (Kaplan-Meier) to counts by group and day.

    `days`: group, day, callbacks, censored. Without a band: for comparing. Empty stays empty.
    """
    ordered = days.sort_values(["group", "day"]).reset_index(drop=True)
    seen = (ordered["callbacks"] + ordered["censored"])[::-1].groupby(ordered["group"]).cumsum()
    survived = 1 - ordered["callbacks"] / seen
    return ordered.assign(
        at_risk=seen,
        free=survived.groupby(ordered["group"]).cumprod(),
        free_low=np.nan,
        free_high=np.nan,
    )


def at_risk(curve: pd.DataFrame, days: tuple[int, ...]) -> pd.DataFrame:
    """Return how many jobs of each group were still seen on these days: one row a group."""
    left = curve["callbacks"] + curve["censored"]
    seen = pd.DataFrame({f"day {day}": left.where(curve["day"] >= day, 0) for day in days})
    return seen.groupby(curve["group"], sort=True).sum().astype(int).reset_index()
