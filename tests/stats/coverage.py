"""How often an interval holds the truth: summed over every count, no simulation."""

import numpy as np
from scipy.stats import binom, poisson


def of_a_proportion(low: np.ndarray, high: np.ndarray, rate: float) -> float:
    """Return the coverage at a true rate; `low[k]`, `high[k]` are the limits of k of n."""
    n = len(low) - 1
    chance = binom.pmf(np.arange(n + 1), n, rate)
    return float(chance[(low <= rate) & (rate <= high)].sum())


def of_a_count(low: np.ndarray, high: np.ndarray, mean: float) -> float:
    """Return the coverage at a true mean; `low[k]`, `high[k]` are the limits of a count k."""
    chance = poisson.pmf(np.arange(len(low)), mean)
    return float(chance[(low <= mean) & (mean <= high)].sum())
