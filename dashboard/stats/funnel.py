"""The limits of chance around the shop's rate, for any number of jobs, and who lies outside."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from dashboard.stats.binomial import chance_at_most, smallest_above

LOOK, DIFFERENT = 0.025, 0.001  # tail on each side: limits of 95 % and of 99.8 %
ROUNDING = 1e-9


def control_limit(rate: ArrayLike, n: ArrayLike, tail: float) -> NDArray[np.float64]:
    """Return the rate that n jobs go below with chance `tail`, interpolated between the counts.

    r = smallest count with F(r) > tail; a = (F(r) - tail) / (F(r) - F(r - 1)); limit (r - a) / n,
    within 0-1. Source: Spiegelhalter 2005, Stat Med 24:1185 (formula of the appendix from memory).
    """
    jobs, rate = np.asarray(n, float), np.asarray(rate, float)
    count = smallest_above(tail, jobs, rate)
    above, below = chance_at_most(count, jobs, rate), chance_at_most(count - 1, jobs, rate)
    share = (above - tail) / (above - below)
    limit: NDArray[np.float64] = np.clip((count - share) / jobs, 0.0, 1.0)
    return limit


def limits(
    rate: ArrayLike, n: ArrayLike, tail: float
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the lower and upper limit of a rate, `tail` on each side.

    The upper one is the lower one of the jobs that failed: taken straight from the formula it would
    lie below a count that chance reaches more often than `tail` (5 of 5 at a shop rate of 80 %).
    """
    return control_limit(rate, n, tail), 1 - control_limit(1 - np.asarray(rate), n, tail)


def verdict(rate: float, n: int, shop_rate: float) -> str | None:
    """Return "inside", "look" (outside 95 %) or "different" (outside 99.8 %) for a rate of n jobs.

    None without jobs, or when the shop's rate is 0 or 1: there is nothing to differ from.
    """
    return verdicts([rate], [n], shop_rate)[0]


def verdicts(rates: ArrayLike, n: ArrayLike, shop_rate: ArrayLike) -> list[str | None]:
    """Return the verdict of each rate against the shop's, which is one for all or one for each.

    The rate of a group without jobs may be missing.
    """
    found, jobs, shop = np.broadcast_arrays(
        np.asarray(rates, float), np.asarray(n, float), np.asarray(shop_rate, float)
    )
    is_known = (shop > 0) & (shop < 1) & (jobs > 0)
    result = np.full(is_known.shape, None, object)
    result[is_known] = "inside"
    expected, many = np.where(is_known, shop, 0.5), np.where(is_known, jobs, 1)
    for tail, name in ((LOOK, "look"), (DIFFERENT, "different")):
        low, high = limits(expected, many, tail)
        is_outside = (found < low - ROUNDING) | (found > high + ROUNDING)
        result[is_outside & is_known] = name
    names: list[str | None] = result.tolist()
    return names
