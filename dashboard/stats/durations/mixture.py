"""Two kinds of job under one repair code: noticed from the minutes alone.

The same code can hide two layouts (heater at the rear, heater behind the drum); a percentile over
both means little. One lognormal is compared with a mixture of two that share one spread: with a
spread each, a lump of times rounded to the quarter hour passes for a layout.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import log, sqrt

import numpy as np
from scipy.special import expit

LEAST_JOBS = 30  # fewer cannot distinguish two modes from chance
LEAST_GROUP_SHARE = 0.15  # a smaller group is a handful of odd jobs, not a layout
LEAST_SEPARATION = 2.0  # Ashman's D: below it the two overlap too much to have two humps
LEAST_GAIN = 2.0  # BIC points: "positive" evidence (Kass & Raftery 1995, from memory)
SPREAD_FLOOR = 0.05  # log minutes: keeps a group from shrinking onto equal, rounded times
ROUNDS = 300
LEAST_STEP = 1e-4  # of the log likelihood: what is left to climb moves no time by a second


@dataclass(frozen=True)
class TwoTimes:
    """The two groups, the quicker first: typical (median) minutes and the share of jobs in it.

    `bic_gain`: how much better two fit than one. `separation`: Ashman's D.
    """

    quick_min: float
    slow_min: float
    quick_share: float
    bic_gain: float
    separation: float


def two_times(minutes: Sequence[float] | np.ndarray) -> TwoTimes | None:
    """Return the two groups that a repair's minutes fall into, or None when one will do.

    Two are reported only when all hold: at least 30 jobs; BIC better by 2 or more, 4 parameters
    against 2; each group at least 15 % of the jobs; separation D = |m1 - m2| / s above 2 (Ashman,
    Bird & Zepf 1994, Astron J 108:2348, from memory), all on log minutes. Measured: one lognormal
    (sd 0.5) passes for two in 1 of 100 codes; 30 against 80 minutes (sd 0.25) is seen in 7 of 10
    codes of 30 jobs, in 9 of 10 of 60. None therefore means "not seen", never "one kind of job".
    Fitted by expectation maximisation from three starts. Raises ValueError for minutes <= 0.
    """
    values = np.asarray(minutes, float)
    if not (np.isfinite(values) & (values > 0)).all():
        raise ValueError("repair minutes: wanted every job's minutes above 0; leave the others out")
    if len(values) < LEAST_JOBS:
        return None
    logs = np.log(values)
    times = np.unique(logs, return_counts=True)  # minutes are mostly whole: few differ
    share, mean, sd, likelihood = max(
        (_fit_from(*times, cut) for cut in (0.25, 0.5, 0.75)), key=lambda fit: fit[3]
    )
    single = max(float(logs.std()), SPREAD_FLOOR)
    one = -len(logs) * (np.log(single) + logs.var() / (2 * single**2))
    gain = float(2 * (likelihood - one) - 2 * np.log(len(logs)))
    separation = float(abs(mean[1] - mean[0]) / sd)
    is_seen = gain >= LEAST_GAIN and separation > LEAST_SEPARATION
    if not is_seen or share.min() < LEAST_GROUP_SHARE:
        return None
    quick, slow = np.argsort(mean)
    typical = np.exp(mean)
    return TwoTimes(
        float(typical[quick]), float(typical[slow]), float(share[quick]), gain, separation
    )


def _fit_from(
    times: np.ndarray, jobs: np.ndarray, cut: float
) -> tuple[np.ndarray, np.ndarray, float, float]:
    """Return share and mean of both groups, their common sd and the log likelihood.

    `times`: the log minutes that occur, in rising order; `jobs`: how many jobs took each. The start
    takes the jobs up to `cut` for quick ones.
    """
    n, centre = int(jobs.sum()), float(jobs @ times / jobs.sum())
    times = times - centre
    spread = float(jobs @ times**2)
    slow = jobs * np.clip((jobs.cumsum() - int(n * cut)) / jobs, 0, 1)
    previous = -np.inf
    for _ in range(ROUNDS):
        size = max(float(slow.sum()), 1e-9)
        rest, total = max(n - size, 1e-9), float(slow @ times)
        quick_mean, slow_mean = -total / rest, total / size  # the mean of all is 0
        variance = (spread - rest * quick_mean**2 - size * slow_mean**2) / n
        sd = max(sqrt(max(variance, 0.0)), SPREAD_FLOOR)
        # the log odds of being slow rise in a straight line, as both groups share their spread
        middle, slope = (quick_mean + slow_mean) / 2, (slow_mean - quick_mean) / sd**2
        odds = slope * (times - middle) + log(size / rest)
        quick = n * log(rest / n) - (spread + n * quick_mean**2) / (2 * sd**2)
        likelihood = quick + float(jobs @ np.logaddexp(0, odds)) - n * log(sd)
        slow = jobs * expit(odds)
        if likelihood - previous < LEAST_STEP:
            break
        previous = likelihood
    mean = centre + np.array([quick_mean, slow_mean])
    return np.array([rest, size]) / n, mean, sd, likelihood
