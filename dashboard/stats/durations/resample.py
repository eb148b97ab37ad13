"""Resampled minutes of a repair and its class: what the planned quantile could have been.

Job by job, or, in a large shop, as counts of the minutes that occur: the same resamples, told
otherwise.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from scipy.special import ndtri

FULL_JOBS = 30  # from here on a repair stands on its own jobs
MANY_JOBS = 500  # beyond, drawing counts is quicker
BATCH = 2_000_000  # numbers drawn at once: some 30 MB, whatever the number of jobs


def own_share(n: int, class_n: int) -> float:
    """Return the weight of the own jobs in the log mean."""
    return 1.0 if n >= FULL_JOBS or class_n < 2 else n / FULL_JOBS


@dataclass(frozen=True)
class Moments:
    """Mean and variance (n - 1) of `n` log minutes, a value per resample."""

    n: int
    mean: np.ndarray
    variance: np.ndarray


def moments(logs: np.ndarray) -> Moments:
    """Return the moments of each row; without two jobs the variance is 0."""
    n = logs.shape[1]
    mean = logs.mean(axis=1) if n else np.zeros(len(logs))
    return Moments(n, mean, logs.var(axis=1, ddof=1) if n > 1 else np.zeros(len(logs)))


def blended(own: Moments, wide: Moments) -> tuple[np.ndarray, np.ndarray]:
    """Return log mean and log variance of each resample, shrunk toward the class."""
    if own_share(own.n, wide.n) == 1:
        return own.mean, own.variance
    borrowed, degrees = FULL_JOBS - own.n, max(own.n - 1, 0)
    mean = (own.n * own.mean + borrowed * wide.mean) / FULL_JOBS
    variance = (degrees * own.variance + borrowed * wide.variance) / (degrees + borrowed)
    return mean, variance


def intervals(
    own: np.ndarray, wide: np.ndarray, quantile: float, resamples: int, seed: int
) -> list[float | None]:
    """Return low and high of the fitted quantile, then of the empirical one."""
    drawn, plain = _resampled(own, quantile, resamples, seed)
    # from 30 own jobs on the class counts nothing, so it need not be drawn
    wide = wide if own_share(len(own), len(wide)) < 1 else wide[:0]
    mean, variance = blended(drawn, _of_class(wide.tobytes(), resamples, seed + 1))
    fitted = np.exp(mean + ndtri(quantile) * np.sqrt(variance))
    return [float(edge) for each in (fitted, plain) for edge in np.quantile(each, [0.025, 0.975])]


@lru_cache(maxsize=256)
def _of_class(minutes: bytes, resamples: int, seed: int) -> Moments:
    """Return the resampled moments of a class: drawn once for all repairs that lean on it."""
    if not minutes:
        return moments(np.empty((resamples, 0)))
    return _resampled(np.frombuffer(minutes), 0.5, resamples, seed)[0]


def _resampled(
    minutes: np.ndarray, quantile: float, resamples: int, seed: int
) -> tuple[Moments, np.ndarray]:
    """Return moments and empirical quantile of each resample."""
    rng, rows = np.random.default_rng(seed), max(BATCH // len(minutes), 1)
    draw = _recounted if len(minutes) > MANY_JOBS else _redrawn
    sizes = [min(rows, resamples - start) for start in range(0, resamples, rows)]
    drawn, quantiles = zip(*(draw(minutes, quantile, size, rng) for size in sizes), strict=True)
    mean, variance = (
        np.concatenate([getattr(each, name) for each in drawn]) for name in ("mean", "variance")
    )
    return Moments(len(minutes), mean, variance), np.concatenate(quantiles)


def _redrawn(
    minutes: np.ndarray, quantile: float, size: int, rng: np.random.Generator
) -> tuple[Moments, np.ndarray]:
    """Return moments and quantile of `size` resamples, drawn job by job."""
    drawn = rng.integers(0, len(minutes), (size, len(minutes)))
    return moments(np.log(minutes)[drawn]), np.quantile(minutes[drawn], quantile, axis=1)


def _recounted(
    minutes: np.ndarray, quantile: float, size: int, rng: np.random.Generator
) -> tuple[Moments, np.ndarray]:
    """Return the same of resamples drawn as counts: how often each number of minutes came up.

    The counts of a resample are multinomial, and minutes are mostly whole numbers: a few hundred
    counts stand for tens of thousands of jobs.
    """
    times, jobs = np.unique(minutes, return_counts=True)
    counts = rng.multinomial(len(minutes), jobs / len(minutes), size)
    below, part = divmod(quantile * (len(minutes) - 1), 1)
    up_to = counts.cumsum(axis=1)
    low, high = (times[(up_to <= place).sum(axis=1)] for place in (below, below + (part > 0)))
    return _count_moments(np.log(times), counts), low + part * (high - low)


def _count_moments(logs: np.ndarray, counts: np.ndarray) -> Moments:
    n = int(counts[0].sum())
    centre = logs.mean()  # near the mean: no digits are lost in the difference of squares
    away = counts @ (logs - centre) / n
    squares = counts @ (logs - centre) ** 2
    return Moments(n, centre + away, (squares - n * away**2) / max(n - 1, 1))
