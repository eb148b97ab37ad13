"""Do repairs of several groups hold equally long? The log-rank test on counts by day."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import chdtrc

Counts = Mapping[int, tuple[int, int]]  # day: (callbacks, left without one)


@dataclass(frozen=True)
class LogRank:
    """The test of equal curves, and for each group callbacks observed and expected if equal."""

    statistic: float
    freedom: int
    p_value: float
    observed: dict[str, float]
    expected: dict[str, float]


def log_rank(groups: Mapping[str, Counts]) -> LogRank | None:
    """Return the log-rank test of two or more groups.

    A job that leaves on a day with callbacks still counts as seen that day. None with fewer than
    two groups or without a callback. Source: Mantel 1966; Peto & Peto 1972, J R Stat Soc A 135:185
    (from memory); variance hypergeometric.
    """
    names = sorted(groups)
    days = sorted({day for counts in groups.values() for day in counts})
    if len(names) < 2 or not days:
        return None
    back, left = (
        np.array([[groups[name].get(day, (0, 0))[i] for day in days] for name in names], float)
        for i in (0, 1)
    )
    seen = np.cumsum((back + left)[:, ::-1], axis=1)[:, ::-1]
    total, came = seen.sum(axis=0), back.sum(axis=0)
    if came.sum() == 0:
        return None
    expected = (seen * came / total).sum(axis=1)
    difference = (back.sum(axis=1) - expected)[:-1]
    covariance = _covariance(seen, total, came)[:-1, :-1]
    statistic = float(difference @ np.linalg.pinv(covariance) @ difference)
    freedom = int(np.linalg.matrix_rank(covariance))
    if freedom == 0:
        return None
    return LogRank(
        statistic,
        freedom,
        float(chdtrc(freedom, statistic)),
        dict(zip(names, back.sum(axis=1).tolist(), strict=True)),
        dict(zip(names, expected.tolist(), strict=True)),
    )


def _covariance(
    seen: NDArray[np.float64], total: NDArray[np.float64], came: NDArray[np.float64]
) -> NDArray[np.float64]:
    share = seen / total
    weight = came * (total - came) / np.maximum(total - 1, 1)
    covariance: NDArray[np.float64] = (
        np.diag((share * weight).sum(axis=1)) - (share * weight) @ share.T
    )
    return covariance
