"""Cured complaints → what the records say of each repair, before any price.

Minutes of the job itself, second trips in; what a return costs and how likely one is, with the
shop's own numbers pooled into those of repairs of few jobs.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd

from dashboard.pricing.callback_chance import callback_chance, shrunk
from dashboard.pricing.job_costs import with_costs
from dashboard.pricing.terms import Terms
from dashboard.rows import Row
from dashboard.stats.durations.lognormal import PlannedMinutes, fit_minutes, planned_minutes
from dashboard.stats.durations.mixture import TwoTimes, two_times
from dashboard.stats.durations.resample import FULL_JOBS, spread_between

FULL_RETURNS = 5  # a repair's own returns weigh as much as the shop's from so many on; judgement
RESAMPLES = 1000  # enough for an interval in whole minutes
NO_MINUTES = np.empty(0)
OF_ONE_JOB = ["job_id", "brand", "model"]  # texts that no figure of a repair needs


@dataclass(frozen=True)
class PartAtHand:
    """The jobs of a repair that no missing part sent away: how many, and what one then takes."""

    jobs: int
    planned_min: float
    travel: float


@dataclass(frozen=True)
class Repair:
    """What the records say of one repair, before any price: its jobs and what to expect.

    `minutes` None: too few timed jobs. Money None: cannot be said from these records.
    `parts_price`: the parts of a job, each marked up. `at_hand` None: no such job is timed.
    """

    kind: str
    code: str
    jobs: pd.DataFrame
    minutes: PlannedMinutes | None
    two_kinds: TwoTimes | None
    travel: float
    travel_min: float
    parts: float | None
    parts_price: float | None
    at_hand: PartAtHand | None
    callback_chance: float | None
    return_cost: float | None

    @property
    def reserve(self) -> float | None:
        """Return what each job sets aside for its own return."""
        if self.callback_chance is None or self.return_cost is None:
            return None
        return self.callback_chance * self.return_cost


def repairs(rows: pd.DataFrame, terms: Terms) -> dict[tuple[str, str], Repair]:
    """Return what the records say of each repair, by appliance kind and repair code.

    Their jobs lack the columns OF_ONE_JOB.
    """
    costed = with_costs(rows.drop(columns=OF_ONE_JOB, errors="ignore"), terms)
    pooled = _pooled(costed, terms)
    return {
        (str(kind), str(code)): _repair(jobs, terms, pooled)
        for (kind, code), jobs in costed.groupby(["appliance_kind", "repair_code"], sort=True)
    }


def repair_of(rows: pd.DataFrame, terms: Terms, kind: str, code: str) -> Repair:
    """Return what the records say of one repair; raises KeyError when no job had it."""
    costed = with_costs(rows, terms)
    jobs = costed[(costed["appliance_kind"] == kind) & (costed["repair_code"] == code)]
    if jobs.empty:
        raise KeyError(f"no cured complaint of {kind} by {code}")
    return _repair(jobs, terms, _pooled(costed, terms))


@dataclass(frozen=True)
class _Pooled:
    """What the whole shop adds to repairs of few jobs: chance and mean cost of a return, minutes.

    `minutes` by appliance kind, and by kind and teardown class; `between`: how far the log means of
    their repairs lie apart.
    """

    chance: float | None
    return_cost: float | None
    minutes: dict[Any, np.ndarray]
    between: dict[Any, float]

    def minutes_for(self, kind: str, teardown: str) -> tuple[np.ndarray, float]:
        """Return the minutes pooled into a repair's, its kind's with the same teardown, and their
        spread between repairs.

        All of the kind's where the teardown is not known or too few jobs share it.
        """
        alike = self.minutes.get((kind, teardown), NO_MINUTES)
        key = kind if len(alike) < FULL_JOBS else (kind, teardown)
        return self.minutes.get(key, NO_MINUTES), self.between.get(key, 0.0)


def _pooled(costed: pd.DataFrame, terms: Terms) -> _Pooled:
    known_min = costed.loc[costed["job_min"] > 0, ["appliance_kind", "teardown_class", "job_min"]]
    known_min["repair"] = pd.factorize(costed.loc[known_min.index, "repair_code"])[0]
    chance, minutes, between = _chance(costed, terms.warranty_days), {}, {}
    for by in ("appliance_kind", ["appliance_kind", "teardown_class"]):
        for key, jobs in known_min.groupby(by):
            minutes[key] = jobs["job_min"].to_numpy(float)
            between[key] = spread_between(minutes[key], jobs["repair"].to_numpy())
    return _Pooled(chance, _mean_return(costed), minutes, between)


def _repair(jobs: pd.DataFrame, terms: Terms, pooled: _Pooled) -> Repair:
    own, linked = timed(jobs), int(jobs["is_linked"].sum())
    first: Row = jobs.iloc[0]
    kind, code = first.appliance_kind, first.repair_code
    pooled_min, between = pooled.minutes_for(kind, first.teardown_class)
    chance = _chance(jobs, terms.warranty_days)
    return Repair(
        kind=kind,
        code=code,
        jobs=jobs,
        minutes=planned_minutes(own, pooled_min, terms.quantile, RESAMPLES, between=between),
        two_kinds=two_times(own),
        travel=float(jobs["job_travel_cost"].mean()),
        travel_min=float(jobs["job_road_min"].mean()),
        parts=_mean(known(jobs["job_parts_cost"])),
        parts_price=_mean(known(jobs["job_parts_price"])),
        at_hand=_at_hand(jobs, pooled_min, terms.quantile),
        callback_chance=None if pooled.chance is None else shrunk(chance, linked, pooled.chance),
        return_cost=_return_cost(jobs, pooled),
    )


def _at_hand(jobs: pd.DataFrame, pooled_min: np.ndarray, quantile: float) -> PartAtHand | None:
    """Return what the jobs take in which no part was missing; None without a timed one."""
    direct = jobs[jobs["part_trips"] == 0]
    own = timed(direct)
    fit = fit_minutes(own, pooled_min) if len(own) else None
    if fit is None:
        return None
    return PartAtHand(
        len(direct), fit.quantile_min(quantile), float(direct["job_travel_cost"].mean())
    )


def timed(jobs: pd.DataFrame) -> np.ndarray:
    """Return the minutes of the jobs that have any recorded."""
    minutes = known(jobs["job_min"])
    return minutes[minutes > 0]


def known(values: pd.Series) -> np.ndarray:
    """Return the numbers that are recorded."""
    numbers: np.ndarray = values.dropna().to_numpy(float)
    return numbers


def _mean(numbers: np.ndarray) -> float | None:
    return float(numbers.mean()) if len(numbers) else None


def _chance(jobs: pd.DataFrame, warranty_days: int) -> float | None:
    linked = jobs["is_linked"].to_numpy(bool)
    days, came = jobs["observed_days"].to_numpy(), jobs["callback_days"].notna().to_numpy()
    return callback_chance(days[linked], came[linked], warranty_days)


def _mean_return(jobs: pd.DataFrame) -> float | None:
    """Return the mean cost of a return with those that followed it; None where none has a cost."""
    return _mean(_return_costs(jobs))


def _return_costs(jobs: pd.DataFrame) -> np.ndarray:
    """Return the known costs of the jobs that had a return."""
    return known(jobs.loc[jobs["returns"] > 0, "return_cost"])


def _return_cost(jobs: pd.DataFrame, pooled: _Pooled) -> float | None:
    """Return a repair's mean return cost drawn toward the shop's; 0 where none came."""
    if pooled.return_cost is None:
        return 0.0 if pooled.chance == 0 else None
    known = _return_costs(jobs)
    whole = float(known.sum()) + FULL_RETURNS * pooled.return_cost
    return whole / (len(known) + FULL_RETURNS)
