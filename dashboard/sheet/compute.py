"""Counts of one complaint → causes, parts, minutes; a model borrows from the rest of its kind."""

from dataclasses import dataclass

import pandas as pd

from dashboard.stats.durations.lognormal import PlannedMinutes, planned_minutes
from dashboard.stats.proportion import wilson
from dashboard.stats.sequencing.cause_prior import PRIOR_JOBS, CauseMix, blend, cause_mix

NAMES_OF_KIND = ("jobs", "of_jobs", "numbers")
RARE = 0.05  # parts that fewer repairs took are not on the list


@dataclass(frozen=True)
class Causes:
    """The causes of a complaint and what their shares rest on.

    `own`: repairs of the group asked for; `other`: repairs of the rest of the kind, 0 where the
    whole kind is asked for. `borrowed`: weight of the rest of the kind and the general weights
    together; `general`: weight of the register's general weights alone. Fractions.
    """

    mix: CauseMix
    prior: dict[str, float]
    own: int
    other: int
    borrowed: float
    general: float


@dataclass(frozen=True)
class PartShare:
    """One part: how many repairs took it, of how many, 95 % interval, usual part numbers."""

    component: str
    jobs: int
    of_jobs: int
    low: float
    high: float
    numbers: tuple[str, ...]


def causes_of(rows: pd.DataFrame, is_whole_kind: bool) -> Causes | None:
    """Return the shares of the causes; None when neither jobs nor general weights are known.

    `rows`: cause, weight, jobs, near_jobs (sql/pages/sheet_causes.sql). A brand or model leans on
    the other jobs of its kind as on PRIOR_JOBS jobs, and these on the general weights likewise:
    (count + m * prior share) / (n + m), the mean of a Dirichlet posterior. Source: Gelman et al.,
    Bayesian Data Analysis, section 5.3 (the idea of levels; from memory); m is judgement.
    """
    weights = _by_cause(rows, "weight")
    near = {cause: int(n) for cause, n in _by_cause(rows, "near_jobs").items()}
    other = {cause: int(n) - near[cause] for cause, n in _by_cause(rows, "jobs").items()}
    own, rest = sum(near.values()), 0 if is_whole_kind else sum(other.values())
    general = _lean(rest if not is_whole_kind else own, sum(weights.values()))
    if is_whole_kind:
        prior, borrowed = weights, general
    else:
        prior = blend(other, weights) if rest + sum(weights.values()) > 0 else {}
        borrowed = _lean(own, sum(prior.values()))
        general *= borrowed
    if own + sum(prior.values()) <= 0:
        return None
    return Causes(cause_mix(near, prior), prior, own, rest, borrowed, general)


def _lean(jobs: int, prior: float) -> float:
    return PRIOR_JOBS / (jobs + PRIOR_JOBS) if prior > 0 else 0.0


def _by_cause(rows: pd.DataFrame, column: str) -> dict[str, float]:
    return dict(zip(rows["cause"], rows[column].astype(float), strict=True))


def parts_of(rows: pd.DataFrame, is_near: bool) -> list[PartShare]:
    """Return the parts to bring, the most needed first; those of few repairs are left out.

    `rows`: sql/pages/sheet_parts.sql; `is_near`: of the brand and model alone. No repairs: [].
    """
    names = ("near_jobs", "of_near_jobs", "near_numbers") if is_near else NAMES_OF_KIND
    found = []
    for component, jobs, of_jobs, numbers in rows[["component", *names]].itertuples(index=False):
        if jobs and jobs >= RARE * of_jobs:
            edges = wilson(int(jobs), int(of_jobs))
            usual = () if numbers is None else tuple(numbers[:2])
            low, high = float(edges.low), float(edges.high)
            found.append(PartShare(str(component), int(jobs), int(of_jobs), low, high, usual))
    return sorted(found, key=lambda part: (-part.jobs, part.component))


def minutes_of(rows: pd.DataFrame, quantile: float) -> PlannedMinutes | None:
    """Return the minutes to plan for the complaint; None when none are recorded.

    `rows`: sql/pages/sheet_minutes.sql. Few jobs lean on the kind's jobs of the complaint, these on
    all jobs of the kind.
    """
    minutes = rows["labour_min"].to_numpy(float)
    near = minutes[rows["is_near"].to_numpy(bool)]
    same = minutes[rows["is_complaint"].to_numpy(bool)]
    is_part = len(near) < len(same)
    return planned_minutes(near, same if is_part else minutes, quantile)
