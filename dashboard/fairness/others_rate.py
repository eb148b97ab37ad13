"""The rate that a group is compared with: the others' rate, without those who clearly differ."""

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from dashboard.stats import funnel


def set_aside(strata: pd.DataFrame) -> pd.DataFrame:
    """Return, by group: rate to judge it by, jobs that it is worth, expected failures, usual rate.

    `strata`: group, appliance_kind, symptom, mature, fixed_first_time. The expected failures of a
    group come from the other groups' rates of the same kind and complaint (of the kind, or of all,
    where no other group has such a job). Of the groups outside 99.8% the clearest is set aside and
    the rest is judged again without it, so that one bad group does not make the good ones look
    special. against = the rate of the groups never set aside; expected = failures of
    the group at the others' rates; rate = 1 - (failures / expected) * (1 - against); jobs: fewer
    than were closed, as the rate of the others is uncertain too: by as much as chance moves it if
    the group is like them (score form; the others' own rates alone called two good ones different
    in twice as many shops of three technicians, tests/bench/RESULTS.md).
    """
    names, own, failed, levels = _arrays(strata)
    aside = np.zeros(len(names), bool)
    while True:
        sound = np.flatnonzero(~aside)
        against = 1 - failed[sound].sum() / own[sound].sum()
        result = pd.DataFrame(
            [
                _judged(group, np.setdiff1d(sound, group), own, failed, levels, against)
                for group in range(len(names))
            ],
            columns=["rate", "jobs", "expected"],
            index=names,
        ).assign(against=against)
        distance = _distance(result, against, sound)
        if len(sound) <= 2 or not (distance > 0).any():
            return result
        aside[sound[int(np.argmax(distance))]] = True


def _arrays(
    strata: pd.DataFrame,
) -> tuple[pd.Index, NDArray[np.float64], NDArray[np.float64], list[NDArray[np.intp]]]:
    """Return the groups, their jobs and failures by stratum, and what strata lie in one kind."""
    known = strata.dropna(subset=["group", "appliance_kind", "symptom"])
    group, names = pd.factorize(known["group"], sort=True)
    kind, _ = pd.factorize(known["appliance_kind"], sort=True)
    symptom, symptoms = pd.factorize(known["symptom"], sort=True)
    pairs, stratum = np.unique(kind * len(symptoms) + symptom, return_inverse=True)
    own, fixed = (np.zeros((len(names), len(pairs))) for _ in range(2))
    np.add.at(own, (group, stratum), known["mature"].to_numpy(float))
    np.add.at(fixed, (group, stratum), known["fixed_first_time"].to_numpy(float))
    levels = [np.arange(len(pairs)), pairs // len(symptoms), np.zeros(len(pairs), int)]
    return names, own, own - fixed, levels


def _judged(
    group: int,
    others: NDArray[np.intp],
    own: NDArray[np.float64],
    failed: NDArray[np.float64],
    levels: list[NDArray[np.intp]],
    against: float,
) -> tuple[float, float, float]:
    """Return one group's rate against the others, the jobs that it is worth, expected failures."""
    jobs, hits = own[others].sum(axis=0), failed[others].sum(axis=0)
    mine = own[group]
    rate, size = np.full(len(jobs), np.nan), np.zeros(len(jobs))
    common = np.zeros(len(jobs))  # with the group: how far chance goes if it is like the others
    for level in levels:
        n, k, of_all, failures = (
            np.bincount(level, each)[level]
            for each in (jobs, hits, jobs + mine, hits + failed[group])
        )
        use = np.isnan(rate) & (n > 0)
        rate[use] = k[use] / n[use]
        common[use] = failures[use] / of_all[use]
        size[use] = n[use]
    used = (mine > 0) & ~np.isnan(rate)
    expected = (mine[used] * rate[used]).sum()
    if expected <= 0:
        return np.nan, np.nan, np.nan
    chance = mine[used] * common[used] * (1 - common[used])
    of_others = (mine[used] / size[used] * chance).sum()
    worth = mine.sum() / (1 + of_others / chance.sum()) if chance.sum() > 0 else mine.sum()
    ratio = failed[group].sum() / expected
    judged = float(np.clip(1 - ratio * (1 - against), 0, 1))
    return judged, float(max(np.floor(worth), 1)), float(expected)


def _distance(result: pd.DataFrame, against: float, sound: NDArray[np.intp]) -> NDArray[np.float64]:
    """Return how far each group lies outside the 99.8% limits, in their half-widths; else 0."""
    known = result.iloc[sound]
    rate, jobs = known["rate"].to_numpy(float), known["jobs"].fillna(1).to_numpy(float)
    if not 0 < against < 1:
        return np.zeros(len(sound))
    low, high = funnel.limits(against, jobs, funnel.DIFFERENT)
    over = (rate - high) / np.maximum(high - against, 1e-9)
    under = (low - rate) / np.maximum(against - low, 1e-9)
    distance: NDArray[np.float64] = np.nan_to_num(np.maximum(np.maximum(over, under), 0))
    return distance
