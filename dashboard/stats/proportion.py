"""How sure is a share of so many jobs: intervals of a proportion and of the difference of two."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Z95 = 1.959964


@dataclass(frozen=True)
class Interval:
    """Lower and upper limit, each a number or one per row; NaN where nothing can be said."""

    low: NDArray[np.float64] | float
    high: NDArray[np.float64] | float


def wilson(k: ArrayLike, n: ArrayLike, z: float = Z95) -> Interval:
    """Return Wilson's score interval of k out of n, as fractions.

    No jobs give NaN; k = 0 has a lower limit of 0, k = n an upper one of 1, exactly. Covers 95 % on
    average over all true rates; at single rates near 0 and 1 as little as 84 % (20 jobs). Raises
    ValueError unless 0 <= k <= n. Source: Wilson 1927, J Am Stat Assoc 22:209.
    """
    hits, jobs = _counts(k, n)
    centre = (hits + z**2 / 2) / (jobs + z**2)
    half = z * np.sqrt(hits * (1 - hits / jobs) + z**2 / 4) / (jobs + z**2)
    return _interval(hits, jobs, centre - half, centre + half)


def newcombe_difference(
    k: ArrayLike, n: ArrayLike, other_k: ArrayLike, other_n: ArrayLike, z: float = Z95
) -> Interval:
    """Return the interval of k/n − other_k/other_n from the Wilson intervals of both.

    NaN where either side has no jobs. Raises ValueError unless 0 <= k <= n on both sides. Source:
    Newcombe 1998, Stat Med 17:873, method 10.
    """
    own, other = wilson(k, n, z), wilson(other_k, other_n, z)
    own_rate, other_rate = _rate(k, n), _rate(other_k, other_n)
    difference = own_rate - other_rate
    below = np.hypot(own_rate - own.low, other.high - other_rate)
    above = np.hypot(own.high - own_rate, other_rate - other.low)
    return Interval(difference - below, difference + above)


def _counts(k: ArrayLike, n: ArrayLike) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return both as equally long numbers; n = 0 becomes NaN, so that no rate comes of it."""
    hits, jobs = np.broadcast_arrays(np.asarray(k, float), np.asarray(n, float))
    if np.any(hits < 0) or np.any(hits > jobs):
        raise ValueError(f"proportion: {k!s} of {n!s} jobs, wanted 0 <= k <= n")
    return hits, np.where(jobs == 0, np.nan, jobs)


def _rate(k: ArrayLike, n: ArrayLike) -> NDArray[np.float64]:
    hits, jobs = _counts(k, n)
    rate: NDArray[np.float64] = hits / jobs
    return rate


def _interval(
    hits: NDArray[np.float64],
    jobs: NDArray[np.float64],
    low: NDArray[np.float64],
    high: NDArray[np.float64],
) -> Interval:
    low = np.where(np.isnan(jobs), np.nan, np.where(hits == 0, 0.0, low))
    high = np.where(np.isnan(jobs), np.nan, np.where(hits == jobs, 1.0, high))
    return Interval(low[()], high[()])
