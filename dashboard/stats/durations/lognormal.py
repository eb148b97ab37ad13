"""Minutes that a repair takes: a lognormal fit leaning on the kind's, and what it says to plan.

A repair with few jobs borrows from its class (the appliance kind): the class fills the sample up to
30 jobs. Log mean = (n * own + (30 - n) * class) / 30, log variance likewise by degrees of freedom;
from 30 jobs on only the own jobs count. The rule is judgement, smooth at 30.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, sqrt

import numpy as np
from scipy.special import ndtri

from dashboard.stats.durations.resample import blended, intervals, moments, own_share

RESAMPLES = 2000


@dataclass(frozen=True)
class MinutesFit:
    """A lognormal distribution of minutes: mean and standard deviation of the log minutes."""

    log_mean: float
    log_sd: float

    @property
    def mean_min(self) -> float:
        return exp(self.log_mean + self.log_sd**2 / 2)

    def quantile_min(self, share: float) -> float:
        """Return the minutes within which this share of the jobs ends."""
        return exp(self.log_mean + float(ndtri(share)) * self.log_sd)


@dataclass(frozen=True)
class PlannedMinutes:
    """The planned quantile with its 95 % interval, the plain one, and the usual choices.

    `low`, `high`, `plain_low`, `plain_high`: None under two own jobs. `plain_min`: the empirical
    quantile (type 7), None without own jobs. `own_share`: weight of the own jobs in the log mean.
    """

    planned_min: float
    low: float | None
    high: float | None
    plain_min: float | None
    plain_low: float | None
    plain_high: float | None
    mean_min: float
    p75_min: float
    p80_min: float
    own_share: float
    n: int
    class_n: int


def fit_minutes(
    minutes: Sequence[float] | np.ndarray, class_minutes: Sequence[float] | np.ndarray
) -> MinutesFit | None:
    """Return the lognormal fit of a repair's minutes, shrunk toward its class under 30 jobs.

    `class_minutes` may hold the repair's own jobs. No own jobs: the class's fit. One own job: its
    mean counts 1/30, its spread nothing. None when fewer than two jobs are left for a spread
    (none of its own and fewer than two of the class). Raises ValueError for minutes of 0 or less.
    The variance has n - 1; mean = median * exp(log_sd^2 / 2) (NIST/SEMATECH e-Handbook 8.1.6.4,
    from memory).
    """
    own, wide = _logs(minutes), _logs(class_minutes)
    if len(own) < 2 and len(wide) < 2:
        return None
    mean, variance = blended(moments(own[None, :]), moments(wide[None, :]))
    return MinutesFit(float(mean[0]), sqrt(variance[0]))


def planned_minutes(
    minutes: Sequence[float] | np.ndarray,
    class_minutes: Sequence[float] | np.ndarray,
    quantile: float = 0.75,
    resamples: int = RESAMPLES,
    seed: int = 0,
    between: float = 0.0,
) -> PlannedMinutes | None:
    """Return the minutes to plan for a repair, with 95 % percentile bootstrap intervals by job.

    Own jobs and class jobs are drawn again in every resample. `between`: how far the log means of
    the class's repairs lie apart (`resample.spread_between`). With few own jobs the interval is as
    much wider as this repair may be unlike its class; without it, too narrow. None and errors as
    `fit_minutes`; also raises ValueError unless 0 < quantile < 1.
    Source: Efron & Tibshirani 1993, chapter 13 (from memory).
    """
    if not 0 < quantile < 1:
        raise ValueError(
            f"planned minutes: quantile is {quantile}, wanted a number between 0 and 1"
        )
    fit = fit_minutes(minutes, class_minutes)
    if fit is None:
        return None
    own, wide, n = np.asarray(minutes, float), np.asarray(class_minutes, float), len(minutes)
    low = high = plain_low = plain_high = None
    if n >= 2:
        low, high, plain_low, plain_high = intervals(own, wide, quantile, resamples, seed, between)
    return PlannedMinutes(
        planned_min=fit.quantile_min(quantile),
        low=low,
        high=high,
        plain_min=float(np.quantile(own, quantile)) if n else None,
        plain_low=plain_low,
        plain_high=plain_high,
        mean_min=fit.mean_min,
        p75_min=fit.quantile_min(0.75),
        p80_min=fit.quantile_min(0.8),
        own_share=own_share(n, len(wide)),
        n=n,
        class_n=len(wide),
    )


def _logs(minutes: Sequence[float] | np.ndarray) -> np.ndarray:
    values = np.asarray(minutes, float)
    if not (np.isfinite(values) & (values > 0)).all():
        raise ValueError("repair minutes: wanted every job's minutes above 0; leave the others out")
    logs: np.ndarray = np.log(values)
    return logs
