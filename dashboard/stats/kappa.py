"""How far two judgements of the same jobs agree beyond chance."""

from dataclasses import dataclass
from math import sqrt

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import ndtri

Z95 = float(ndtri(0.975))


@dataclass(frozen=True)
class Kappa:
    """Cohen's kappa with its 95 % interval; None = cannot be said."""

    kappa: float | None
    low: float | None
    high: float | None
    observed: float | None
    n: int


def cohens_kappa(table: ArrayLike) -> Kappa:
    """Return Cohen's kappa of a square table of jobs: first judgement in rows, second in columns.

    kappa = (observed - expected) / (1 - expected) agreement. Standard error for a kappa other than
    0: Fleiss, Cohen & Everitt 1969 (Psych Bull 72:323, formula from memory, checked against
    statsmodels); interval kappa +- 1.96 SE, cut at -1 and 1. With few jobs it is rough, and where
    the formula gives no spread at all (no disagreement, one job) the interval is None: a few
    jobs that agree do not prove that all will. No jobs: all None, n = 0. All jobs in one category
    on both sides (expected agreement 1): kappa None, because chance alone explains everything.
    Raises ValueError for a table that is not square or holds a negative count.
    """
    jobs = np.asarray(table, float)
    if jobs.size and (jobs.ndim != 2 or jobs.shape[0] != jobs.shape[1] or (jobs < 0).any()):
        raise ValueError(f"kappa: table of shape {jobs.shape}, wanted a square one of counts >= 0")
    n = float(jobs.sum())
    if n == 0:
        return Kappa(None, None, None, None, 0)
    share = jobs / n
    rows, columns = share.sum(axis=1), share.sum(axis=0)
    observed, expected = float(np.trace(share)), float(rows @ columns)
    if expected >= 1 - 1e-12:
        return Kappa(None, None, None, observed, int(n))
    kappa = (observed - expected) / (1 - expected)
    error = sqrt(max(_variance(share, rows, columns, kappa, expected) / n, 0.0))
    if error < 1e-7:
        return Kappa(kappa, None, None, observed, int(n))
    low, high = max(kappa - Z95 * error, -1.0), min(kappa + Z95 * error, 1.0)
    return Kappa(kappa, low, high, observed, int(n))


def _variance(
    share: np.ndarray, rows: np.ndarray, columns: np.ndarray, kappa: float, expected: float
) -> float:
    """Return n times the variance of kappa (Fleiss, Cohen & Everitt 1969)."""
    # a job in cell (i, j) pulls on kappa through how often i and j come up on the other side
    pull = (1 - kappa) * (columns[:, None] + rows[None, :])
    weight = np.where(np.eye(len(rows), dtype=bool), (1 - pull) ** 2, pull**2)
    spread = float((share * weight).sum()) - (kappa - expected * (1 - kappa)) ** 2
    return spread / (1 - expected) ** 2
