"""The difference of two means over strata, and the interval of one mean."""

import numpy as np
from numpy.typing import ArrayLike

from dashboard.stats.proportion import Z95
from dashboard.stats.stratified import Difference


def mean_difference(
    amount: ArrayLike,
    squares: ArrayLike,
    jobs: ArrayLike,
    other_amount: ArrayLike,
    other_squares: ArrayLike,
    other_jobs: ArrayLike,
) -> Difference | None:
    """Return the mean of the first group less that of the second, one array item per stratum.

    Sums, sums of squares and counts. This is least squares with a level for each stratum: a stratum
    weighs n1·n0/(n1 + n0), the variance is HC1. None without a stratum that has both groups, where
    too few jobs are left to say how they vary, and where none varies.
    Source: White 1980, Econometrica 48:817.
    """
    a, q1, n1, c, q0, n0 = (
        np.asarray(each, float)
        for each in (amount, squares, jobs, other_amount, other_squares, other_jobs)
    )
    known = (n1 > 0) & (n0 > 0)
    a, q1, n1, c, q0, n0 = (each[known] for each in (a, q1, n1, c, q0, n0))
    freedom = float((n1 + n0).sum()) - known.sum() - 1
    if not known.any() or freedom < 1:
        return None
    n, delta = n1 + n0, a / n1 - c / n0
    weight = n1 * n0 / n
    value = float((weight * delta).sum() / weight.sum())
    away = delta - value
    of_first = np.maximum(q1 - a**2 / n1, 0) + n1 * (n0 / n * away) ** 2
    of_second = np.maximum(q0 - c**2 / n0, 0) + n0 * (n1 / n * away) ** 2
    meat = float(((n0 / n) ** 2 * of_first + (n1 / n) ** 2 * of_second).sum())
    variance = meat / float(weight.sum()) ** 2 * float(n.sum()) / freedom
    return Difference(value, variance, int(n.sum())) if variance > 0 else None


def mean_interval(amount: float, squares: float, jobs: int) -> tuple[float, float, float] | None:
    """Return a mean with its 95% interval, from sum, sum of squares and count; None under two."""
    if jobs < 2:
        return None
    mean = amount / jobs
    variance = max(squares - amount * mean, 0.0) / (jobs - 1)
    half = Z95 * float(np.sqrt(variance / jobs))
    return mean, mean - half, mean + half
