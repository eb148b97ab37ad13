"""Groups' rates drawn toward their mean, as far as their spread is more than chance."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import betainc, betaincinv, betaln, expit, logit, xlog1py, xlogy

LEAST_GAIN = 1e-4  # log-likelihood over one common rate; less is no measurable spread
STARTS = (5.0, 50.0, 500.0)


@dataclass(frozen=True)
class BetaBinomial:
    """How the groups' true rates are spread: a Beta distribution."""

    a: float
    b: float

    @property
    def mean(self) -> float:
        """The mean of the groups' true rates."""
        return self.a / (self.a + self.b)


@dataclass(frozen=True)
class Shrunk:
    """A group's rate given its jobs and the other groups, with its 95 % interval."""

    rate: float
    low: float
    high: float
    chance_below: float  # that the true rate is below the rate compared with


def fit(hits: Sequence[float], n: Sequence[int]) -> BetaBinomial | None:
    """Return the Beta distribution of the true rates by maximum likelihood.

    None when the likelihood has no inner maximum (no spread beyond chance) or with fewer than two
    groups with jobs. Source: Tarone 1982, Biometrics 38:215 (the model; from memory).
    """
    counts, jobs = np.asarray(hits, float), np.asarray(n, float)
    counts, jobs = counts[jobs > 0], jobs[jobs > 0]
    if len(jobs) < 2 or counts.sum() in (0, jobs.sum()):
        return None

    from scipy.optimize import minimize  # imported only where there are groups to compare

    def loss(point: np.ndarray) -> float:
        a, b = _shape(point)
        return -float(np.sum(betaln(counts + a, jobs - counts + b) - betaln(a, b)))

    middle = logit(counts.sum() / jobs.sum())
    tries = [minimize(loss, [middle, np.log(size)], method="Nelder-Mead") for size in STARTS]
    best = min(tries, key=lambda found: found.fun)
    best = minimize(loss, best.x, method="Nelder-Mead", options={"xatol": 1e-9, "fatol": 1e-12})
    if -best.fun - _log_likelihood_of_one_rate(counts, jobs) < LEAST_GAIN:
        return None
    return BetaBinomial(*_shape(best.x))


def _shape(point: np.ndarray) -> tuple[float, float]:
    mean, size = float(expit(point[0])), float(np.exp(np.clip(point[1], -5.0, 16.0)))
    return mean * size, (1 - mean) * size


def _log_likelihood_of_one_rate(counts: np.ndarray, jobs: np.ndarray) -> float:
    rate = counts.sum() / jobs.sum()
    return float(np.sum(xlogy(counts, rate) + xlog1py(jobs - counts, -rate)))


def shrink(hits: float, n: int, spread: BetaBinomial, compared_with: float) -> Shrunk:
    """Return a group's posterior mean, equal-tailed 95 % interval and P(rate < compared_with).

    The spread is taken as known, so the interval is a little too short when groups are few.
    A group without jobs gets the spread itself.
    """
    a, b = spread.a + hits, spread.b + n - hits  # the posterior Beta distribution
    low, high = betaincinv(a, b, [0.025, 0.975])
    return Shrunk(a / (a + b), float(low), float(high), float(betainc(a, b, compared_with)))
