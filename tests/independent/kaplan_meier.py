"""How long do repairs hold: the share without a callback by day, with its band."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.stats import norm


@dataclass(frozen=True)
class Curve:
    """One row per day on which a job came back or left the count; shares as fractions.

    `low` and `high` are NaN while nothing came back and where nothing is left: the band has no
    width there that the formula could give.
    """

    day: NDArray[np.float64]
    at_risk: NDArray[np.int64]
    events: NDArray[np.int64]
    censored: NDArray[np.int64]
    free: NDArray[np.float64]
    low: NDArray[np.float64]
    high: NDArray[np.float64]


@dataclass(frozen=True)
class ShareOnDay:
    """Share still without a callback on a day, its band, and the jobs seen at least that long."""

    free: float
    low: float
    high: float
    at_risk: int


def kaplan_meier(day: ArrayLike, is_event: ArrayLike, confidence: float = 0.95) -> Curve:
    """Return the curve of jobs that came back (is_event) or were last seen on a day.

    Callbacks come before leavings of the same day. No jobs give empty arrays; one job gives one
    row. The band covers each day by itself, not the curve as a whole. It falls short where hardly
    anything came back: of 20 jobs at a true 95 %, it holds 90 times in 100 of those with a callback
    (simulated). Raises ValueError for a negative or missing day.
    Source: Kaplan & Meier 1958, J Am Stat Assoc 53:457; variance Greenwood 1926, on the
    log(−log) scale (Kalbfleisch & Prentice 1980).
    """
    days, is_back = np.asarray(day, float), np.asarray(is_event, bool)
    if np.any(~(days >= 0)):
        raise ValueError("Kaplan-Meier: a day is missing or negative, wanted 0 or more")
    steps, place = np.unique(days, return_inverse=True)
    events = np.bincount(place, weights=is_back, minlength=len(steps)).astype(int)
    leaving = np.bincount(place, minlength=len(steps))
    at_risk = leaving[::-1].cumsum()[::-1]
    free = np.cumprod(1 - events / at_risk)
    with np.errstate(divide="ignore", invalid="ignore"):
        variance = np.cumsum(events / (at_risk * (at_risk - events)))
        spread = norm.ppf(0.5 + confidence / 2) * np.sqrt(variance) / -np.log(free)
        has_band = (free > 0) & (free < 1)
        low = np.where(has_band, free ** np.exp(spread), np.nan)
        high = np.where(has_band, free ** np.exp(-spread), np.nan)
    return Curve(steps, at_risk, events, leaving - events, free, low, high)


def share_on_day(curve: Curve, day: float) -> ShareOnDay:
    """Return the share without a callback at the end of a day, with its band.

    Before the first row: 1, with a NaN band. After the last one nothing is observed any more: NaN,
    unless every job had come back by then. An empty curve gives NaN.
    """
    watched = int(jobs_at_risk(curve, [day])[0])
    place = int(np.searchsorted(curve.day, day, side="right")) - 1
    if len(curve.day) == 0 or (watched == 0 and curve.free[-1] > 0):
        return ShareOnDay(np.nan, np.nan, np.nan, 0)
    if place < 0:
        return ShareOnDay(1.0, np.nan, np.nan, watched)
    return ShareOnDay(
        float(curve.free[place]), float(curve.low[place]), float(curve.high[place]), watched
    )


def jobs_at_risk(curve: Curve, days: Sequence[float]) -> NDArray[np.int64]:
    """Return how many jobs were still watched at the start of each day: the table under a curve."""
    place = np.searchsorted(curve.day, np.asarray(days, float), side="left")
    return np.append(curve.at_risk, 0)[place]
