"""Logistic regression on grouped counts, fitted by Newton's method."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import expit

MOST_STEPS = 50
CLOSE = 1e-10  # of the coefficients, relative to their size


@dataclass(frozen=True)
class LogisticCurve:
    """log(p / (1 - p)) = the intercept and a coefficient for each feature, with standard errors."""

    coefficients: tuple[float, ...]
    errors: tuple[float, ...]
    n: float

    def chance(self, features: ArrayLike) -> NDArray[np.float64]:
        """Return the probability at each row of features (rows by features)."""
        chance: NDArray[np.float64] = expit(_design(features) @ np.asarray(self.coefficients))
        return chance


def fit_logistic(
    features: ArrayLike, trials: ArrayLike, successes: ArrayLike
) -> LogisticCurve | None:
    """Fit by maximum likelihood to `successes` of `trials` at each row of features.

    Counts may be fractions. None where the likelihood has no maximum: no trials, features that
    follow from each other, all or no successes, or features that separate them. Raises ValueError
    for counts that are negative or exceed the trials.
    Source: iteratively reweighted least squares (McCullagh and Nelder 1989, section 4.4, from
    memory); checked against statsmodels.
    """
    design = _design(features)
    n, k = np.asarray(trials, float), np.asarray(successes, float)
    if (k < 0).any() or (k > n).any():
        raise ValueError("logistic: wanted 0 <= successes <= trials at each row")
    design, n, k = design[n > 0], n[n > 0], k[n > 0]
    if not 0 < k.sum() < n.sum() or np.linalg.matrix_rank(design) < design.shape[1]:
        return None
    beta = np.zeros(design.shape[1])
    for _ in range(MOST_STEPS):
        p = expit(design @ beta)
        information = design.T @ (design * (n * p * (1 - p))[:, None])
        if np.linalg.cond(information) > 1 / CLOSE:  # separated: the coefficients grow for ever
            return None
        step = _shortened(design, n, k, beta, np.linalg.solve(information, design.T @ (k - n * p)))
        beta = beta + step
        if np.abs(step).max() <= CLOSE * max(1.0, np.abs(beta).max()):
            errors = np.sqrt(np.diag(np.linalg.inv(information)))
            return LogisticCurve(tuple(beta.tolist()), tuple(errors.tolist()), float(n.sum()))
    return None


def _design(features: ArrayLike) -> NDArray[np.float64]:
    """Return the features with a first column of ones for the intercept."""
    rows = np.asarray(features, float)
    return np.column_stack([np.ones(len(rows)), rows])


def _shortened(
    design: NDArray[np.float64],
    n: NDArray[np.float64],
    k: NDArray[np.float64],
    beta: NDArray[np.float64],
    step: NDArray[np.float64],
) -> NDArray[np.float64]:
    """Halve a Newton step until the likelihood does not fall."""
    before = _log_likelihood(design @ beta, n, k)
    while _log_likelihood(design @ (beta + step), n, k) < before - 1e-9 * abs(before):
        step = step / 2
        if np.abs(step).max() < CLOSE:
            break
    return step


def _log_likelihood(
    linear: NDArray[np.float64], n: NDArray[np.float64], k: NDArray[np.float64]
) -> float:
    return float(np.sum(k * linear - n * np.logaddexp(0.0, linear)))
