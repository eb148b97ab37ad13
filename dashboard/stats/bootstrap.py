"""Bootstrap without resampling row by row: what the resampled median and counts can be."""

from collections.abc import Sequence

import numpy as np

from dashboard.stats.counted import Counted, counted

DRAWS = 2000


def median_draws(
    values: Sequence[float] | Counted, generator: np.random.Generator, draws: int = DRAWS
) -> np.ndarray:
    """Return bootstrap medians of the values, `draws` of them.

    The k-th smallest of n resampled values is the value whose rank is the rounded-up n·U, U being
    Beta(k, n − k + 1): the same distribution as resampling (Efron 1979; Maritz & Jarrett 1978 use
    the same fact), in one draw. An even n takes the mean of the two middle ones. No values give an
    empty array; one value gives itself each time.
    """
    ordered = counted(values)
    n = len(ordered)
    if n == 0:
        return np.empty(0)
    middle = (n + 1) // 2
    lower = generator.beta(middle, n - middle + 1, draws)
    if n % 2:
        return ordered.at(_rank(lower, n))
    upper = lower + (1 - lower) * generator.beta(1, n - middle, draws)
    return (ordered.at(_rank(lower, n)) + ordered.at(_rank(upper, n))) / 2


def _rank(uniform: np.ndarray, n: int) -> np.ndarray:
    return np.clip(np.ceil(uniform * n).astype(int) - 1, 0, n - 1)


def percentile_interval(
    draws: Sequence[float], confidence: float = 0.95
) -> tuple[float, float] | None:
    """Return the middle `confidence` of the draws (percentile method); None without draws."""
    if len(draws) == 0:
        return None
    tail = (1 - confidence) / 2
    low, high = np.quantile(np.asarray(draws, float), (tail, 1 - tail))
    return float(low), float(high)
