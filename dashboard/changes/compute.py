"""Cells of the measure change_effect → the effect of a change, and whether it can be seen yet."""

from dataclasses import dataclass
from math import inf
from typing import Any

import pandas as pd

from dashboard.changes.months import (
    AFTER,
    BEFORE,
    BETWEEN,
    STRATUM,
    bad_months,
    special_months,
    spread,
)
from dashboard.stats.mean_difference import mean_difference
from dashboard.stats.stratified import Difference, months_to_see, risk_difference

# a difference that an owner would act on: of a share, and of an amount as a part of its mean before
MATTERS, MATTERS_OF_MEAN = 0.05, 0.1
WORKED, WORSE, NOTHING, EARLY, UNKNOWN = "worked", "worse", "nothing", "early", "unknown"


@dataclass(frozen=True)
class Group:
    """Jobs, and the sums of their amounts and of the squares; of a share an amount is 1 or 0."""

    jobs: int
    amount: float
    squares: float


@dataclass(frozen=True)
class Side:
    """One side, before and after; `difference` with the mix of work held."""

    before: Group
    after: Group
    difference: Difference | None


@dataclass(frozen=True)
class Effect:
    """What became of a change.

    `rest` is None where the rest of the shop has too few jobs, or all are touched; then `effect`
    is before and after alone, its interval widened by the spread of the months. `bad_months` before
    and `special_months` on either side are left out; `with_all` is the effect with them.
    `matters`: a difference to act on; `more_months`: until it can be seen.
    """

    touched: Side
    rest: Side | None
    effect: Difference | None
    verdict: str
    bad_months: tuple[str, ...]
    special_months: tuple[str, ...]
    with_all: Difference | None
    matters: float
    more_months: float
    between: int
    not_judged: int


def effect_of(
    cells: pd.DataFrame, wants_more: bool, min_jobs: int, *, is_share: bool = True
) -> Effect:
    """Return the effect of a change; `wants_more`: the figure should rise.

    `is_share`: the amounts are 1 or 0, else minutes or money of a job.
    """
    cells = _with_period(cells)
    own = cells[cells["is_touched"]]
    bad, special = bad_months(own, wants_more), special_months(own)
    kept = cells[[pair not in {*bad, *special} for pair in _pairs(cells)]]
    touched, rest, effect = _compared(kept, min_jobs, is_share)
    before = touched.before
    matters = MATTERS if is_share else MATTERS_OF_MEAN * abs(before.amount) / max(before.jobs, 1)
    more = _more_months(kept, rest is not None, effect, matters) if effect else inf
    return Effect(
        touched,
        rest,
        effect,
        _verdict(effect, wants_more, matters, touched, min_jobs),
        tuple(month for _, month in bad),
        tuple(month for _, month in special if (_, month) not in bad),
        _compared(cells, min_jobs, is_share)[2] if bad or special else None,
        matters,
        more,
        int(own.loc[own["period"] == BETWEEN, ["jobs", "not_judged"]].sum().sum()),
        int(own.loc[own["period"] == AFTER, "not_judged"].sum()),
    )


def _with_period(cells: pd.DataFrame) -> pd.DataFrame:
    period = cells["is_after"].map({True: AFTER, False: BEFORE}).astype(object).fillna(BETWEEN)
    return cells.assign(period=period, is_touched=cells["is_touched"].astype(bool))


def _compared(
    cells: pd.DataFrame, min_jobs: int, is_share: bool
) -> tuple[Side, Side | None, Difference | None]:
    is_touched = cells["is_touched"]
    touched, rest = (side_of(cells[each], is_share) for each in (is_touched, ~is_touched))
    if touched.difference is None:
        return touched, None, None
    if min(rest.before.jobs, rest.after.jobs) >= min_jobs and rest.difference is not None:
        return touched, rest, touched.difference.less(rest.difference)
    return touched, None, touched.difference.wider(spread(cells[is_touched]))


def side_of(cells: pd.DataFrame, is_share: bool) -> Side:
    """Return one side of the cells, each kind and complaint compared with itself."""
    names = ["amount", "squares", "jobs"]
    strata = cells.groupby([*STRATUM, "period"])[names].sum()
    wide = pd.DataFrame(strata.unstack("period", fill_value=0)).reindex(
        columns=pd.MultiIndex.from_product([names, [BEFORE, AFTER]]), fill_value=0
    )
    after, before = ([wide[name, period] for name in names] for period in (AFTER, BEFORE))
    if is_share:
        difference = risk_difference(after[0], after[2], before[0], before[2])
    else:
        difference = mean_difference(*after, *before)
    return Side(_group(*before), _group(*after), difference)


def _group(amount: pd.Series, squares: pd.Series, jobs: pd.Series) -> Group:
    return Group(int(jobs.sum()), float(amount.sum()), float(squares.sum()))


def _pairs(cells: pd.DataFrame) -> list[tuple[str, str]]:
    return list(zip(cells["period"], cells["month"], strict=True))


def _verdict(
    effect: Difference | None, wants_more: bool, matters: float, touched: Side, min_jobs: int
) -> str:
    if effect is None or touched.before.jobs < min_jobs:
        return UNKNOWN
    low, high = (effect.low, effect.high) if wants_more else (-effect.high, -effect.low)
    if touched.after.jobs < min_jobs:
        return EARLY
    if low > 0:
        return WORKED
    if high < 0:
        return WORSE
    return NOTHING if high < matters else EARLY


def _more_months(cells: pd.DataFrame, has_rest: bool, effect: Difference, matters: float) -> float:
    """Return the months from now until an effect that matters is seen in 4 of 5 cases."""
    after = cells[(cells["period"] == AFTER) & cells["is_touched"]]
    gone = max(int((after.groupby("month")["jobs"].sum() > 0).sum()), 1)
    touched = _variances(cells[cells["is_touched"]])
    rest = _variances(cells[~cells["is_touched"]]) if has_rest else (0.0, 0.0)
    fixed, moving = touched[0] + rest[0], touched[1] + rest[1]
    seen = fixed + moving
    scale = max(effect.variance / seen, 1.0) if seen > 0 else 1.0
    needed = months_to_see(matters, scale * fixed, scale * moving * gone)
    return max(needed - gone, 0.0)


def _variances(cells: pd.DataFrame) -> tuple[float, float]:
    """Return the variance of the mean before, and of the mean after.

    One job at each of 0 and 1 more keeps a share of none or all from being certain; in many jobs
    of minutes or money it is nothing.
    """
    whole: Any = cells[["amount", "squares", "jobs"]].sum()
    jobs = whole["jobs"] + 2
    mean = (whole["amount"] + 1) / jobs
    variance = float((whole["squares"] + 1) / jobs - mean**2)
    before, after = (
        variance / max(int(cells.loc[cells["period"] == period, "jobs"].sum()), 1)
        for period in (BEFORE, AFTER)
    )
    return before, after
