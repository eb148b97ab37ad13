"""Will a target be reached at this rate? Months of jobs → the chance."""

from dataclasses import dataclass
from datetime import date
from functools import partial
from math import ceil, floor

import numpy as np
import pandas as pd

from dashboard.notes.changes import UP, WANTED, Target
from dashboard.stats.prediction import chance_of_at_least

LAST_MONTHS = 3  # that say what the rate is now
FEWEST = 20  # jobs to say anything from


@dataclass(frozen=True)
class Outlook:
    """A target and what the last months say of it; `chance` is None where nothing can be said.

    `is_over`: the month of the target can be judged; then `hits` of `jobs` are that month's.
    """

    target: Target
    months: tuple[str, ...]
    hits: int
    jobs: int
    jobs_a_month: int
    chance: float | None
    is_over: bool = False

    @property
    def is_reached(self) -> bool:
        """Return True if the counted share reaches the value."""
        share = self.hits / max(self.jobs, 1)
        is_up = WANTED[self.target.measure] == UP
        return share >= self.target.value if is_up else share <= self.target.value


def outlook(target: Target, months: pd.DataFrame, as_of: date, window_days: int) -> Outlook:
    """Return the outlook of a target.

    `months`: month, hits, jobs, of all jobs that can be judged, in order. The rate is that of the
    last three months of which every job can be judged; the month of the target is predicted from
    it (beta–binomial, Jeffreys' prior), so the chance allows for the few jobs of both.
    """
    wanted = f"{target.by:%Y-%m}"
    is_complete = [_is_complete(month, as_of, window_days) for month in months["month"]]
    complete = months[np.array(is_complete, dtype=bool)]
    own = complete[complete["month"] == wanted]
    if len(own):
        hits, jobs = int(own["hits"].iloc[0]), int(own["jobs"].iloc[0])
        return Outlook(target, (wanted,), hits, jobs, jobs, None, is_over=True)
    last = complete.tail(LAST_MONTHS)
    hits, jobs = int(last["hits"].sum()), int(last["jobs"].sum())
    each = round(jobs / max(len(last), 1))
    chance = None if jobs < FEWEST or each < 1 else _chance(target, hits, jobs, each)
    return Outlook(target, tuple(last["month"]), hits, jobs, each, chance)


def _chance(target: Target, hits: int, jobs: int, each: int) -> float:
    """Return the chance that `each` jobs at the rate of hits in jobs reach the value."""
    at_least = partial(chance_of_at_least, jobs=each, base_hits=hits, base_jobs=jobs)
    if WANTED[target.measure] == UP:
        return at_least(ceil(target.value * each - 1e-9))
    return 1 - at_least(floor(target.value * each + 1e-9) + 1)


def _is_complete(month: str, as_of: date, window_days: int) -> bool:
    last = pd.Period(month).end_time.date()
    return (as_of - last).days >= window_days
