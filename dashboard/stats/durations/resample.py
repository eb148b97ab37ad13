"""Resampled minutes of a repair and its class: what the planned quantile could have been.

Job by job; for many jobs from the distribution that such resamples have: the ranks of the
quantile exactly, mean and variance by the central limit theorem.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from scipy.special import ndtri

FULL_JOBS = 30  # from here on a repair stands on its own jobs
MANY_JOBS = 500  # beyond, the central limit theorem is good to well under a minute
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


def spread_between(minutes: np.ndarray, repair: np.ndarray) -> float:
    """Return the standard deviation of the log means of repairs, beyond what their jobs explain.

    `minutes` above 0 and `repair`, a number from 0, of each job. One-way analysis of variance,
    method of moments; 0 with fewer than two repairs or when the means differ by chance alone.
    Source: Searle, Casella & McCulloch 1992, Variance Components, 3.6 (from memory).
    """
    logs, counts = np.log(minutes), np.bincount(repair)
    n = counts[counts > 0].astype(float)
    jobs, repairs = n.sum(), len(n)
    if repairs < 2 or jobs == repairs:
        return 0.0
    away = logs - logs.mean()
    sums = np.bincount(repair, away)[counts > 0]
    among = float((sums**2 / n).sum())
    within = max(float((away**2).sum()) - among, 0.0) / (jobs - repairs)
    size = (jobs - (n**2).sum() / jobs) / (repairs - 1)
    return float(np.sqrt(max(among / (repairs - 1) - within, 0.0) / size))


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
    own: np.ndarray,
    wide: np.ndarray,
    quantile: float,
    resamples: int,
    seed: int,
    between: float = 0.0,
) -> list[float | None]:
    """Return low and high of the fitted quantile, then of the empirical one.

    `between`: standard deviation of the log means of the class's repairs: what is borrowed from the
    class may be that far off.
    """
    drawn, plain = _resampled(own, quantile, resamples, seed)
    # from 30 own jobs on the class counts nothing, so it need not be drawn
    wide = wide if own_share(len(own), len(wide)) < 1 else wide[:0]
    mean, variance = blended(drawn, _of_class(wide.tobytes(), resamples, seed + 1))
    borrowed = 1 - own_share(len(own), len(wide))
    if borrowed > 0 and between > 0:
        off = np.random.default_rng(seed + 2).normal(0, between, resamples)
        mean = mean + borrowed * off
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
    if len(minutes) > MANY_JOBS:
        ranks = _quantile_of_many(np.sort(minutes), quantile, resamples, rng)
        return _moments_of_many(np.log(minutes), resamples, rng), ranks
    sizes = [min(rows, resamples - start) for start in range(0, resamples, rows)]
    drawn, quantiles = zip(*(_redrawn(minutes, quantile, size, rng) for size in sizes), strict=True)
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


def _quantile_of_many(
    rising: np.ndarray, quantile: float, resamples: int, rng: np.random.Generator
) -> np.ndarray:
    """Return the empirical quantile (type 7) of each resample, without drawing its jobs.

    The j-th smallest of n draws from n jobs is the job at the share of a Beta(j, n - j + 1); the
    next one is further by a Beta(1, n - j) of what is left (order statistics of the uniform
    distribution: David and Nagaraja 2003, chapter 2, from memory).
    """
    n = len(rising)
    below, part = divmod(quantile * (n - 1), 1)
    place = int(below) + 1
    share = rng.beta(place, n - place + 1, resamples)
    low: np.ndarray = rising[np.minimum((share * n).astype(int), n - 1)]
    if part == 0:
        return low
    share += (1 - share) * rng.beta(1, n - place, resamples)
    high = rising[np.minimum((share * n).astype(int), n - 1)]
    between: np.ndarray = low + part * (high - low)
    return between


def _moments_of_many(logs: np.ndarray, resamples: int, rng: np.random.Generator) -> Moments:
    """Return mean and variance of each resample as two normal numbers that vary together.

    Their covariance is that of a sample's mean and variance: [[v, m3], [m3, m4 - v^2]] / n, with
    the central moments of the jobs (Cramer 1946, 27.4, from memory).
    """
    n, mean, variance = len(logs), float(logs.mean()), float(logs.var(ddof=1))
    away = logs - mean
    third, fourth = float((away**3).mean()), float((away**4).mean())
    spread = np.array([[variance, third], [third, max(fourth - variance**2, 0.0)]]) / n
    drawn = rng.multivariate_normal([mean, variance], spread, resamples)
    return Moments(n, drawn[:, 0], np.maximum(drawn[:, 1], 0.0))
