"""Calls by calendar month over whole years: the index of each month, and whether any differs."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import fdtrc, stdtrit

from dashboard.stats.proportion import wilson

MONTHS = 12
LEAST_YEARS = 2  # with one year a season and a chance month look alike
LEAST_CALLS = 60  # for the test that all months are alike: five a month
DAYS = np.array([31, 28.25, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])


@dataclass(frozen=True)
class Season:
    """Index of each of twelve months (1 = average) with 95 % limits.

    `dispersion`: how much more than Poisson the same month differs from year to year, at least 1.
    `p_value`: that all months are alike for their number of days; None with few calls.
    """

    index: NDArray[np.float64]
    low: NDArray[np.float64]
    high: NDArray[np.float64]
    dispersion: float
    p_value: float | None


def season_of(calls: NDArray[np.int64], first_month: int = 1) -> Season | None:
    """Return the season of calls, a row of twelve months per year; None under two years or no call.

    `first_month`: calendar month (1-12) of the first column; the result is in the columns' order.
    The index is that of a Poisson regression on year and month; limits are Wilson's, with the calls
    divided by the dispersion and Student's t for the few years that it rests on. Raises ValueError
    for another number of months. Source: McCullagh & Nelder 1989, Generalized Linear Models, 6.2
    (from memory).
    """
    counts = np.asarray(calls, float)
    if counts.ndim != 2 or counts.shape[1] != MONTHS:
        raise ValueError(f"season: a table of {counts.shape}; wanted years of twelve months")
    years, total = len(counts), float(counts.sum())
    if years < LEAST_YEARS or total == 0:
        return None
    by_month = counts.sum(axis=0)
    freedom = (years - 1) * (MONTHS - 1)
    dispersion = max(1.0, _pearson(counts, by_month, total) / freedom)
    t = float(stdtrit(freedom, 0.975))
    limits = wilson(by_month / dispersion, np.full(MONTHS, total / dispersion), t)
    days = np.roll(DAYS, 1 - first_month)
    p_value = None
    if total >= LEAST_CALLS:
        expected = total * days / days.sum()
        squares = float(((by_month - expected) ** 2 / expected).sum())
        p_value = float(fdtrc(MONTHS - 1, freedom, squares / (MONTHS - 1) / dispersion))
    return Season(
        by_month / total * MONTHS,
        np.asarray(limits.low) * MONTHS,
        np.asarray(limits.high) * MONTHS,
        dispersion,
        p_value,
    )


def _pearson(counts: NDArray[np.float64], by_month: NDArray[np.float64], total: float) -> float:
    """Return Pearson's chi-square of the years' months around year times month."""
    fitted = np.outer(counts.sum(axis=1), by_month) / total
    cells = fitted > 0
    return float((((counts - fitted) ** 2)[cells] / fitted[cells]).sum())
