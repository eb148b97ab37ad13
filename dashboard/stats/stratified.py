"""The difference of two shares over strata, and how long until a difference can be seen."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import ndtri

from dashboard.stats.proportion import Z95

POWER = 0.8
LEAST_FREEDOM = 5  # of a spread between months that can be believed


@dataclass(frozen=True)
class Difference:
    """Share of the first group less that of the second; `jobs` of both that could be compared."""

    value: float
    variance: float
    jobs: int

    @property
    def low(self) -> float:
        """Return the lower 95% limit."""
        return float(self.value - Z95 * np.sqrt(self.variance))

    @property
    def high(self) -> float:
        """Return the upper 95% limit."""
        return float(self.value + Z95 * np.sqrt(self.variance))

    def less(self, other: "Difference") -> "Difference":
        """Return the difference of two independent differences."""
        total = self.variance + other.variance
        return Difference(self.value - other.value, total, self.jobs + other.jobs)

    def wider(self, factor: float) -> "Difference":
        """Return it with the variance times a factor."""
        return Difference(self.value, self.variance * factor, self.jobs)


def risk_difference(
    hits: ArrayLike, jobs: ArrayLike, other_hits: ArrayLike, other_jobs: ArrayLike
) -> Difference | None:
    """Return the Mantel–Haenszel difference of shares, one array item per stratum.

    Strata without a job on one side say nothing; without any other stratum there is no difference
    (None). Where all or none of the jobs hit, the variance is that of half a job more each way.
    Sources: Greenland & Robins 1985, Biometrics 41:55; variance: Sato 1989, Biometrics 45:1323.
    """
    a, n1, c, n0 = (np.asarray(each, float) for each in (hits, jobs, other_hits, other_jobs))
    known = (n1 > 0) & (n0 > 0)
    a, n1, c, n0 = a[known], n1[known], c[known], n0[known]
    if not known.any():
        return None
    n = n1 + n0
    weight = float((n1 * n0 / n).sum())
    value = float(((a * n0 - c * n1) / n).sum() / weight)
    variance = _sato(value, a, n1, c, n0) / weight**2
    least = _least_variance(float(a.sum()), float(n1.sum()), float(c.sum()), float(n0.sum()))
    return Difference(value, max(variance, least), int(n.sum()))


def _sato(
    value: float,
    a: NDArray[np.float64],
    n1: NDArray[np.float64],
    c: NDArray[np.float64],
    n0: NDArray[np.float64],
) -> float:
    """Return Sato's variance before the division by the squared weight."""
    n = n1 + n0
    p = ((n1**2 * c - n0**2 * a + n1 * n0 * (n0 - n1) / 2) / n**2).sum()
    q = ((a * (n0 - c) + c * (n1 - a)) / (2 * n)).sum()
    return float(value * p + q)


def _least_variance(a: float, n1: float, c: float, n0: float) -> float:
    """Return the variance that is left where every job, or none, hits on both sides; else 0."""
    if 0 < a + c < n1 + n0:
        return 0.0
    one, other = 0.5 / (n1 + 1), 0.5 / (n0 + 1)
    return one * (1 - one) / n1 + other * (1 - other) / n0


def dispersion(
    hits: Sequence[ArrayLike], expected: Sequence[ArrayLike], chance: Sequence[ArrayLike]
) -> float:
    """Return how much more months vary within each group than chance explains: 1 or more.

    An array of months for each group: hits, those expected, their variance by chance. Pearson's
    chi-square over its degrees of freedom; 1 where these are fewer than five.
    """
    chi2, freedom = 0.0, 0
    for group in zip(hits, expected, chance, strict=True):
        k, mean, variance = (np.asarray(each, float) for each in group)
        known = variance > 0
        chi2 += float(((k - mean)[known] ** 2 / variance[known]).sum())
        freedom += max(int(known.sum()) - 1, 0)
    return max(1.0, chi2 / freedom) if freedom >= LEAST_FREEDOM else 1.0


def months_to_see(
    difference: float, fixed_variance: float, monthly_variance: float, power: float = POWER
) -> float:
    """Return the months of jobs until a difference is seen at 95% with this power; inf for never.

    The variance of the estimate is `fixed_variance` + `monthly_variance` / months.
    """
    z = Z95 + float(ndtri(power))
    left = (difference / z) ** 2 - fixed_variance
    return monthly_variance / left if left > 0 else inf
