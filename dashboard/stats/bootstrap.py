"""Bootstrap without resampling row by row: what the resampled median and counts can be."""

from collections.abc import Sequence

import numpy as np

from dashboard.stats.weighted_sample import Counted, at_ranks, counted

DRAWS = 2000


def median_draws(
    values: Sequence[float] | np.ndarray | Counted,
    generator: np.random.Generator,
    draws: int = DRAWS,
) -> np.ndarray:
    """Return bootstrap medians of the values, `draws` of them.

    No values give an empty array; one value gives itself each time.
    """
    ordered = counted(values)
    if not len(ordered):
        return np.empty(0)
    drawn: np.ndarray = medians_drawn(ordered.values, ordered.counts[None], generator, draws)[0]
    return drawn


def medians_drawn(
    values: np.ndarray, counts: np.ndarray, generator: np.random.Generator, draws: int = DRAWS
) -> np.ndarray:
    """Return bootstrap medians of many groups: a row of `draws` for each.

    `counts[g, v]` is how often group g, which is not empty, has values[v]; the values rise. The
    k-th smallest of n resampled values is the value whose rank is the rounded-up n·U, U being
    Beta(k, n − k + 1): the same distribution as resampling (Efron 1979; Maritz & Jarrett 1978 use
    the same fact), in one draw. An even n takes the mean of the two middle ones. Groups of one size
    share their draws.
    """
    n, which = np.unique(counts.sum(axis=1), return_inverse=True)
    lower, upper = _middle_ranks(n, generator, draws)
    medians = at_ranks(values, counts, lower[which])
    even = np.flatnonzero(n[which] % 2 == 0)
    seconds = at_ranks(values, counts[even], upper[which[even]])
    medians[even] = (medians[even] + seconds) / 2
    return medians


def _middle_ranks(
    n: np.ndarray, generator: np.random.Generator, draws: int
) -> tuple[np.ndarray, np.ndarray]:
    """Return the ranks of the two middle ones of n resampled values; of odd n both are one."""
    n = n[:, None]
    middle, even = (n + 1) // 2, np.flatnonzero(n % 2 == 0)
    lower = generator.beta(middle, n - middle + 1, (len(n), draws))
    upper = lower.copy()
    if len(even):
        above = generator.beta(1, (n - middle)[even], (len(even), draws))
        upper[even] += (1 - lower[even]) * above
    return _ranks(lower, n), _ranks(upper, n)


def _ranks(uniform: np.ndarray, n: np.ndarray) -> np.ndarray:
    ranks: np.ndarray = np.clip(np.ceil(uniform * n).astype(int) - 1, 0, n - 1)
    return ranks


def percentile_interval(
    draws: Sequence[float] | np.ndarray, confidence: float = 0.95
) -> tuple[float, float] | None:
    """Return the middle `confidence` of the draws (percentile method); None without draws."""
    if len(draws) == 0:
        return None
    tail = (1 - confidence) / 2
    low, high = np.quantile(np.asarray(draws, float), (tail, 1 - tail))
    return float(low), float(high)
