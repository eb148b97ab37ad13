"""Cells of the measure change_effect → the effect of a change, and whether it can be seen yet."""

from dataclasses import dataclass
from math import inf
from typing import Any

import numpy as np
import pandas as pd

from dashboard.stats.stratified import Difference, dispersion, months_to_see, risk_difference

STRATUM = ["appliance_kind", "symptom"]
MATTERS = 0.05  # a difference that an owner would act on
BAD, SPECIAL = 2.5, 3.0  # standard errors from the other months of the side
PROMPTS = 4  # months up to the change that may have prompted it
BEFORE, BETWEEN, AFTER = "before", "between", "after"
WORKED, WORSE, NOTHING, EARLY, UNKNOWN = "worked", "worse", "nothing", "early", "unknown"


@dataclass(frozen=True)
class Side:
    """Hits and jobs of one side, before and after; `difference` with the mix of work held."""

    hits_before: int
    jobs_before: int
    hits_after: int
    jobs_after: int
    difference: Difference | None


@dataclass(frozen=True)
class Effect:
    """What became of a change.

    `rest` is None where the rest of the shop has too few jobs, or all are touched; then `effect`
    is before and after alone, its interval widened by the spread of the months. `bad_months` before
    and `special_months` on either side are left out; `with_all` is the effect with them.
    `more_months`: until 5 points can be seen.
    """

    touched: Side
    rest: Side | None
    effect: Difference | None
    verdict: str
    bad_months: tuple[str, ...]
    special_months: tuple[str, ...]
    with_all: Difference | None
    more_months: float
    between: int
    not_judged: int


def effect_of(cells: pd.DataFrame, wants_more: bool, min_jobs: int) -> Effect:
    """Return the effect of a change; `wants_more`: the share should rise."""
    cells = _with_period(cells)
    own = cells[cells["is_touched"]]
    bad, special = _bad_months(own, wants_more), _special_months(own)
    kept = cells[[pair not in {*bad, *special} for pair in _pairs(cells)]]
    touched, rest, effect = _compared(kept, min_jobs)
    verdict, more = _verdict(kept, rest is not None, effect, wants_more, touched, min_jobs)
    return Effect(
        touched,
        rest,
        effect,
        verdict,
        tuple(month for _, month in bad),
        tuple(month for _, month in special if (_, month) not in bad),
        _compared(cells, min_jobs)[2] if bad or special else None,
        more,
        int(own.loc[own["period"] == BETWEEN, ["jobs", "not_judged"]].sum().sum()),
        int(own.loc[own["period"] == AFTER, "not_judged"].sum()),
    )


def _with_period(cells: pd.DataFrame) -> pd.DataFrame:
    period = cells["is_after"].map({True: AFTER, False: BEFORE}).astype(object).fillna(BETWEEN)
    return cells.assign(period=period, is_touched=cells["is_touched"].astype(bool))


def _compared(cells: pd.DataFrame, min_jobs: int) -> tuple[Side, Side | None, Difference | None]:
    is_touched = cells["is_touched"]
    touched, rest = side_of(cells[is_touched]), side_of(cells[~is_touched])
    sizes = (rest.jobs_before, rest.jobs_after)
    if touched.difference is None:
        return touched, None, None
    if min(sizes) >= min_jobs and rest.difference is not None:
        return touched, rest, touched.difference.less(rest.difference)
    return touched, None, touched.difference.wider(_spread(cells[is_touched]))


def _spread(own: pd.DataFrame) -> float:
    """Return how much more the months of either side vary than chance and their work explain."""
    sides = [_expected(own, period) for period in (BEFORE, AFTER)]
    return dispersion(*([one[name] for one in sides] for name in ("hits", "expected", "chance")))


def _expected(own: pd.DataFrame, period: str) -> pd.DataFrame:
    """Return hits of each month, those expected of its kinds and complaints, and their variance."""
    side = own[(own["period"] == period) & (own["jobs"] > 0)]
    sums = side.groupby(STRATUM)[["hits", "jobs"]].transform("sum")
    share = sums["hits"] / sums["jobs"]
    parts = side.assign(expected=side["jobs"] * share, chance=side["jobs"] * share * (1 - share))
    return parts.groupby("month")[["hits", "expected", "chance"]].sum()


def side_of(cells: pd.DataFrame) -> Side:
    """Return one side of the cells, each kind and complaint compared with itself."""
    strata = cells.groupby([*STRATUM, "period"])[["hits", "jobs"]].sum()
    wide = pd.DataFrame(strata.unstack("period", fill_value=0)).reindex(
        columns=pd.MultiIndex.from_product([["hits", "jobs"], [BEFORE, AFTER]]), fill_value=0
    )
    columns = [wide[name, period] for period in (AFTER, BEFORE) for name in ("hits", "jobs")]
    difference = risk_difference(*columns)
    hits_after, jobs_after, hits_before, jobs_before = (int(each.sum()) for each in columns)
    return Side(hits_before, jobs_before, hits_after, jobs_after, difference)


def _pairs(cells: pd.DataFrame) -> list[tuple[str, str]]:
    return list(zip(cells["period"], cells["month"], strict=True))


def _bad_months(own: pd.DataFrame, wants_more: bool) -> list[tuple[str, str]]:
    """Return the bad months that may have prompted the change: those beyond BAD of the others."""
    away = _away(own, BEFORE).tail(PROMPTS)
    is_bad = (away <= -BAD) if wants_more else (away >= BAD)
    return [(BEFORE, str(month)) for month in away.index[is_bad]]


def _special_months(own: pd.DataFrame) -> list[tuple[str, str]]:
    """Return the months of either side, good or bad, beyond SPECIAL of the others of their side.

    One at a time, the farthest first: it would make its neighbors look special.
    """
    found: list[tuple[str, str]] = []
    for period in (BEFORE, AFTER):
        left = own
        while len(away := _away(left, period)) and away.abs().max() > SPECIAL:
            month = str(away.abs().idxmax())
            found.append((period, month))
            left = left[left["month"] != month]
    return found


def _away(own: pd.DataFrame, period: str) -> pd.Series:
    """Return how far each month lies from the others of its side, in standard errors.

    What is expected of a month is that of its own kinds and complaints.
    """
    months = _expected(own, period)
    others = months.sum() - months
    usual = months["expected"] * others["hits"] / others["expected"].where(others["expected"] > 0)
    spread = months["chance"] * (
        1 + months["chance"] / others["chance"].where(others["chance"] > 0)
    )
    return ((months["hits"] - usual) / np.sqrt(spread.where(spread > 0))).fillna(0.0)


def _monthly(cells: pd.DataFrame) -> pd.DataFrame:
    return cells.groupby("month")[["hits", "jobs"]].sum()


def _verdict(
    cells: pd.DataFrame,
    has_rest: bool,
    effect: Difference | None,
    wants_more: bool,
    touched: Side,
    min_jobs: int,
) -> tuple[str, float]:
    if effect is None or touched.jobs_before < min_jobs:
        return UNKNOWN, inf
    more = _more_months(cells, has_rest, effect)
    low, high = (effect.low, effect.high) if wants_more else (-effect.high, -effect.low)
    if touched.jobs_after >= min_jobs and low > 0:
        return WORKED, more
    if touched.jobs_after >= min_jobs and high < 0:
        return WORSE, more
    if touched.jobs_after >= min_jobs and high < MATTERS:
        return NOTHING, more
    return EARLY, more


def _more_months(cells: pd.DataFrame, has_rest: bool, effect: Difference) -> float:
    """Return the months from now until an effect of 5 points is seen in 4 of 5 cases."""
    after = _monthly(cells[(cells["period"] == AFTER) & cells["is_touched"]])
    gone = max(int((after["jobs"] > 0).sum()), 1)
    touched = _variances(cells[cells["is_touched"]])
    rest = _variances(cells[~cells["is_touched"]]) if has_rest else (0.0, 0.0)
    fixed, moving = touched[0] + rest[0], touched[1] + rest[1]
    seen = fixed + moving
    scale = max(effect.variance / seen, 1.0) if seen > 0 else 1.0
    needed = months_to_see(MATTERS, scale * fixed, scale * moving * gone)
    return max(needed - gone, 0.0)


def _variances(cells: pd.DataFrame) -> tuple[float, float]:
    """Return the variance of the share before, and of the share after."""
    found: list[float] = []
    whole: Any = cells[["hits", "jobs"]].sum()
    share = float((whole["hits"] + 1) / (whole["jobs"] + 2))
    for period in (BEFORE, AFTER):
        jobs = int(cells.loc[cells["period"] == period, "jobs"].sum())
        found.append(share * (1 - share) / max(jobs, 1))
    return found[0], found[1]
