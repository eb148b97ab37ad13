"""What range of counts is normal, given what was counted before?"""

import numpy as np
from numpy.typing import NDArray
from scipy.special import betaln, gammaln

LOOK, DIFFERENT = 0.025, 0.001  # tail on each side: 95% and 99.8%, as in funnel.py


def count_limits(n: int, hits: float, jobs: float, tail: float) -> tuple[int, int]:
    """Return the lowest and highest normal count out of n jobs, `tail` on each side.

    Before, `hits` of `jobs` were counted; how little that may be is in the limits. Quantiles of the
    beta-binomial distribution, which is the prediction from a binomial count under Jeffreys' prior.
    n = 0 gives (0, 0). Source: Gelman et al., Bayesian Data Analysis, ch. 2 and appendix A.
    """
    below = np.cumsum(_chances(n, hits, jobs))
    low = int(np.searchsorted(below, tail * (1 + 1e-9), side="right"))
    high = int(np.searchsorted(below, 1 - tail * (1 + 1e-9), side="left"))
    return min(low, n), min(high, n)


def chance_of_at_least(count: int, jobs: int, base_hits: float, base_jobs: float) -> float:
    """Return the chance that `jobs` more jobs hold `count` hits or more, by the same prediction."""
    return float(min(_chances(jobs, base_hits, base_jobs)[max(count, 0) :].sum(), 1.0))


def _chances(n: int, hits: float, jobs: float) -> NDArray[np.float64]:
    """Return the chance of each count from 0 to n."""
    counts = np.arange(n + 1)
    a, b = hits + 0.5, jobs - hits + 0.5
    ways = gammaln(n + 1) - gammaln(counts + 1) - gammaln(n - counts + 1)
    log_chance = ways + betaln(counts + a, n - counts + b) - betaln(a, b)
    chances: NDArray[np.float64] = np.exp(log_chance)
    return chances
