"""Logistic curve of one number on grouped counts, fitted by Newton's method."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import expit

MOST_STEPS = 50
CLOSE = 1e-10  # of the coefficients, relative to their size


@dataclass(frozen=True)
class LogisticCurve:
    """log(p / (1 - p)) = intercept + slope * x, with the coefficients' standard errors."""

    intercept: float
    slope: float
    intercept_error: float
    slope_error: float
    n: int

    def chance(self, x: ArrayLike) -> NDArray[np.float64]:
        """Return the probability at each x."""
        return expit(self.intercept + self.slope * np.asarray(x, float))


def fit_logistic(x: ArrayLike, trials: ArrayLike, successes: ArrayLike) -> LogisticCurve | None:
    """Fit the curve by maximum likelihood to `successes` of `trials` at each x.

    None where the likelihood has no maximum: no trials, one x only, all or no successes, or an x
    that separates them. Raises ValueError for counts that are negative or exceed the trials.
    Source: iteratively reweighted least squares (McCullagh and Nelder 1989, section 4.4, from
    memory); checked against statsmodels.
    """
    x, n, k = (np.asarray(each, float) for each in (x, trials, successes))
    if (k < 0).any() or (k > n).any():
        raise ValueError("logistic: wanted 0 <= successes <= trials at each x")
    if not _has_maximum(x, n, k):
        return None
    design = np.column_stack([np.ones_like(x), x])
    beta = np.zeros(2)
    for _ in range(MOST_STEPS):
        p = expit(design @ beta)
        information = design.T @ (design * (n * p * (1 - p))[:, None])
        step = _shortened(design, n, k, beta, np.linalg.solve(information, design.T @ (k - n * p)))
        beta = beta + step
        if np.abs(step).max() <= CLOSE * max(1.0, np.abs(beta).max()):
            errors = np.sqrt(np.diag(np.linalg.inv(information)))
            return LogisticCurve(*map(float, (*beta, *errors)), int(n.sum()))
    return None


def _has_maximum(x: NDArray, n: NDArray, k: NDArray) -> bool:
    """Say whether successes and failures overlap in x (Albert and Anderson 1984)."""
    held, failed = x[k > 0], x[k < n]
    if not len(held) or not len(failed) or len(np.unique(x[n > 0])) < 2:
        return False
    return bool(held.min() < failed.max() and failed.min() < held.max())


def _shortened(
    design: NDArray, n: NDArray, k: NDArray, beta: NDArray, step: NDArray
) -> NDArray[np.float64]:
    """Halve a Newton step until the likelihood does not fall."""
    before = _log_likelihood(design @ beta, n, k)
    while _log_likelihood(design @ (beta + step), n, k) < before - 1e-9 * abs(before):
        step = step / 2
        if np.abs(step).max() < CLOSE:
            break
    return step


def _log_likelihood(linear: NDArray, n: NDArray, k: NDArray) -> float:
    return float(np.sum(k * linear - n * np.logaddexp(0.0, linear)))
