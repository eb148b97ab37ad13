"""Does one group of a stratum fail earlier than the others? The one-sided log-rank test."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from dashboard.stats.binomial import chance_above


@dataclass(frozen=True)
class Strata:
    """For each group of one stratum: failures, those expected by log-rank, and their variance.

    `failures` of the whole stratum on days on which the group was at risk.
    """

    observed: NDArray[np.float64]
    expected: NDArray[np.float64]
    variance: NDArray[np.float64]
    failures: float


def against_others(seen: NDArray[np.float64], back: NDArray[np.float64]) -> Strata:
    """Compare each group with the others of its stratum, day by day.

    `seen[g, d]` leave group g on day d, `back[g, d]` of them by failing; days rise. Who leaves on a
    day is at risk that day. Source: Mantel 1966; hypergeometric variance.
    """
    at_risk = np.cumsum(seen[:, ::-1], axis=1)[:, ::-1].astype(float)
    total, came = at_risk.sum(axis=0), back.sum(axis=0).astype(float)
    share = at_risk / total
    spread = came * (total - came) / np.maximum(total - 1, 1)
    return Strata(
        back.sum(axis=1).astype(float),
        share @ came,
        (share * (1 - share)) @ spread,
        float(came.sum()),
    )


def chance_of_so_many(
    observed: NDArray[np.float64], expected: NDArray[np.float64], failures: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Return the chance of `observed` failures or more, if the group were like the others.

    Each failure falls to the group with its share of those at risk: a sum of unequal chances, for
    which the binomial of the same mean is a little too cautious (Hoeffding 1956). Few failures are
    usual here, and the normal approximation would flag innocent parts.
    """
    share = np.divide(expected, failures, out=np.zeros_like(expected), where=failures > 0)
    return np.where(failures > 0, chance_above(observed - 1, failures, np.clip(share, 0, 1)), 1.0)


def chances(expected: float, failures: int) -> NDArray[np.float64]:
    """Return every value that `chance_of_so_many` can take with these failures, rising."""
    if failures == 0:
        return np.ones(1)
    counts = np.arange(failures, -1, -1)
    chance: NDArray[np.float64] = chance_above(counts - 1, failures, min(expected / failures, 1.0))
    return chance
