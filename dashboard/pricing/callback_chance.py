"""The chance that a repair comes back by a day, from jobs seen for different times."""

from collections.abc import Sequence

import numpy as np

FULL_JOBS = 30  # a repair with as many jobs counts as much as the shop; judgement


def callback_chance(
    days: Sequence[float], has_callback: Sequence[bool], by_day: int
) -> float | None:
    """Return the Kaplan-Meier probability of a callback on or before the day; None without jobs.

    `days`: days until the callback, else days seen without one. Callbacks come before leavings of
    the same day. When no job was followed as long as `by_day`, the last known probability stands: a
    lower bound. Source: Kaplan & Meier 1958, J Am Stat Assoc 53:457 (from memory).
    """
    seen, came = np.asarray(days, float), np.asarray(has_callback, bool)
    if not len(seen):
        return None
    free = 1.0
    for day in np.unique(seen[came & (seen <= by_day)]):
        free *= 1 - (came & (seen == day)).sum() / (seen >= day).sum()
    return float(1 - free)


def shrunk(own: float | None, jobs: int, shop: float, full_jobs: int = FULL_JOBS) -> float:
    """Return a repair's chance drawn toward the shop's: weight jobs / (jobs + full_jobs).

    A repair with no jobs has the shop's chance. The weight is judgement: at 30 jobs half and half.
    """
    if own is None or jobs == 0:
        return shop
    return (jobs * own + full_jobs * shop) / (jobs + full_jobs)
