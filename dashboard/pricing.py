"""Cured complaints → what each repair costs, what it must charge, what today's charge leaves.

The jobs' own minutes are planned, second trips in; returns under warranty are in the price once, as
reserve (chance times mean cost of a return). What past jobs cost is counted with the returns that
they really had. Diagnosis is in the time on job and is added nowhere.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import pandas as pd

from dashboard.price_terms import Terms, terms_of
from dashboard.stats.bimodal_minutes import TwoTimes, two_times
from dashboard.stats.callback_chance import callback_chance, shrunk
from dashboard.stats.price import CostToServe, cost_to_serve
from dashboard.stats.profit import margin
from dashboard.stats.repair_minutes import FULL_JOBS, PlannedMinutes, planned_minutes

FULL_RETURNS = 5  # a repair's own returns weigh as much as the shop's from so many on; judgement
RESAMPLES = 1000  # enough for an interval in whole minutes


@dataclass(frozen=True)
class Repair:
    """What the records say of one repair, before any price: its jobs and what to expect.

    `minutes` None: too few timed jobs. Money None: cannot be said from these records.
    """

    jobs: pd.DataFrame
    minutes: PlannedMinutes | None
    two_kinds: TwoTimes | None
    travel: float
    travel_min: float
    parts: float | None
    callback_chance: float | None
    return_cost: float | None

    @property
    def reserve(self) -> float | None:
        """Return what each job sets aside for its own return."""
        if self.callback_chance is None or self.return_cost is None:
            return None
        return self.callback_chance * self.return_cost


def flat_rate(rows: pd.DataFrame, settings: Mapping[str, Any]) -> pd.DataFrame:
    """Return the measure flat_rate from its base rows: one row per repair, most money lost first.

    No rows: an empty table with the same columns. Money is missing where minutes or parts costs
    are not recorded.
    """
    terms = terms_of(settings)
    found = [
        {"repair_code": code, "appliance_kind": kind} | _summary(repair, terms)
        for (kind, code), repair in repairs(rows, terms).items()
    ]
    table = pd.DataFrame(found, columns=list(COLUMNS)).astype(COLUMNS)
    return table.sort_values(
        ["result_now", "appliance_kind", "repair_code"], na_position="last", kind="stable"
    ).reset_index(drop=True)


COLUMNS = {
    "repair_code": "str",
    "appliance_kind": "str",
    "jobs": "int64",
    **dict.fromkeys(
        (
            "p50_minutes",
            "planned_minutes",
            "planned_low",
            "planned_high",
            "parts_cost",
            "travel_cost",
            "callback_reserve",
            "cost_to_serve",
            "proposed_rate",
            "median_charged",
            "margin_now",
            "margin_proposed",
            "share_under_cost_now",
            "share_under_cost_proposed",
            "result_now",
            "result_proposed",
            "mean_minutes",
            "cured_minutes",
            "callback_chance",
        ),
        "float64",
    ),
    "costed_jobs": "int64",
    "is_two_kinds": "bool",
}


def with_costs(rows: pd.DataFrame, terms: Terms) -> pd.DataFrame:
    """Return the cured complaints with what each really cost, returns included.

    Adds minutes, travel_cost, job_cost, return_cost and cost; missing where the minutes or the
    parts' costs are not recorded. Travel without recorded minutes takes the setting's.
    """
    table = rows.copy()
    for who in ("job", "return"):
        travel_min = table[f"{who}_travel_min"].fillna(
            table[f"{who}_trips"] * terms.travel_min_per_trip
        )
        table[f"{who}_road_min"] = travel_min
        road = travel_min / 60 * terms.labour_per_hour + table[f"{who}_trips"] * terms.trip_cost
        work = table[f"{who}_min"] / 60 * terms.labour_per_hour
        table[f"{who}_travel_cost"] = road
        table[f"{who}_cost"] = work + road + table[f"{who}_parts_cost"]
    table["job_cost"] += terms.consumables + terms.other_cost
    table["minutes"] = table["job_min"] + table["return_min"]
    table["cost"] = table["job_cost"] + table["return_cost"]
    return table


def repairs(rows: pd.DataFrame, terms: Terms) -> dict[tuple[str, str], Repair]:
    """Return what the records say of each repair, by appliance kind and repair code."""
    costed = with_costs(rows, terms)
    shop_chance = _chance(costed, terms.warranty_days)
    shop_return = _mean_return(costed)
    return {
        key: _repair(jobs, _class_of(jobs, costed), terms, shop_chance, shop_return)
        for key, jobs in costed.groupby(["appliance_kind", "repair_code"], sort=True)
    }


def _repair(
    jobs: pd.DataFrame,
    wide: pd.DataFrame,
    terms: Terms,
    shop_chance: float | None,
    shop_return: float | None,
) -> Repair:
    own, others = _timed(jobs), _timed(wide)
    linked = int(jobs["is_linked"].sum())
    chance = _chance(jobs, terms.warranty_days)
    return Repair(
        jobs=jobs,
        minutes=planned_minutes(own, others, terms.quantile, RESAMPLES),
        two_kinds=two_times(own),
        travel=float(jobs["job_travel_cost"].mean()),
        travel_min=float(jobs["job_road_min"].mean()),
        parts=_mean(jobs["job_parts_cost"]),
        callback_chance=None if shop_chance is None else shrunk(chance, linked, shop_chance),
        return_cost=_return_cost(jobs, shop_return, shop_chance),
    )


def _timed(jobs: pd.DataFrame) -> pd.Series:
    minutes = jobs["job_min"].dropna()
    return minutes[minutes > 0]


def _mean(values: pd.Series) -> float | None:
    return None if values.notna().sum() == 0 else float(values.mean())


def _class_of(jobs: pd.DataFrame, shop: pd.DataFrame) -> pd.DataFrame:
    """Return the jobs that a repair may borrow from: its kind's with the same teardown.

    All of the kind where the teardown is not known or too few jobs share it.
    """
    first = jobs.iloc[0]
    kind = shop[shop["appliance_kind"] == first["appliance_kind"]]
    alike = kind[kind["teardown_class"] == first["teardown_class"]]
    return alike if len(_timed(alike)) >= FULL_JOBS else kind


def _chance(jobs: pd.DataFrame, warranty_days: int) -> float | None:
    linked = jobs[jobs["is_linked"]]
    return callback_chance(linked["observed_days"], linked["callback_days"].notna(), warranty_days)


def _mean_return(jobs: pd.DataFrame) -> float | None:
    """Return the mean cost of one return, a ratio of sums over the complaints that had one."""
    known = jobs[(jobs["returns"] > 0) & jobs["return_cost"].notna()]
    return float(known["return_cost"].sum() / known["returns"].sum()) if len(known) else None


def _return_cost(
    jobs: pd.DataFrame, shop_return: float | None, shop_chance: float | None
) -> float | None:
    """Return a repair's mean return cost drawn toward the shop's; 0 where the shop has none."""
    if shop_return is None:
        return 0.0 if shop_chance == 0 else None
    known = jobs[(jobs["returns"] > 0) & jobs["return_cost"].notna()]
    returns = int(known["returns"].sum())
    return (known["return_cost"].sum() + FULL_RETURNS * shop_return) / (returns + FULL_RETURNS)


def cost_of(repair: Repair, minutes: float | None, terms: Terms) -> CostToServe | None:
    """Return the cost to serve a job of so many minutes; None when it cannot be said."""
    if minutes is None or repair.parts is None or repair.reserve is None:
        return None
    return cost_to_serve(
        minutes,
        terms.labour_per_hour,
        parts=repair.parts,
        travel=repair.travel,
        consumables=terms.consumables,
        overhead=terms.other_cost,
        reserve=repair.reserve,
    )


def price_of(cost: CostToServe | None, terms: Terms) -> float | None:
    """Return the flat rate of a cost to serve; None when that cannot be said."""
    return None if cost is None else terms.price(cost.total - cost.parts, cost.parts)


@dataclass(frozen=True)
class PastJobs:
    """What a price would have meant for the repair's past jobs whose cost is known.

    `result` and `under_cost` are about `jobs`; None or 0 of 0 without such a job.
    """

    jobs: int
    under_cost: int
    result: float | None

    @property
    def share(self) -> float | None:
        return self.under_cost / self.jobs if self.jobs else None


def past_jobs(jobs: pd.DataFrame, price: float | None = None) -> PastJobs:
    """Count past jobs under cost at a price, or at what each was really charged (None)."""
    charged = jobs["charged"] if price is None else pd.Series(price, index=jobs.index)
    left = (charged - jobs["cost"]).dropna()
    return PastJobs(len(left), int((left < -1e-9).sum()), float(left.sum()) if len(left) else None)


def _summary(repair: Repair, terms: Terms) -> dict[str, Any]:
    planned = repair.minutes
    cost = cost_of(repair, planned.planned_min if planned else None, terms)
    expected = cost_of(repair, planned.mean_min if planned else None, terms)
    price, charged = price_of(cost, terms), repair.jobs["charged"].dropna()
    first = repair.jobs["first_charged"].dropna()
    now, proposed = past_jobs(repair.jobs), past_jobs(repair.jobs, price)
    return {
        "jobs": len(repair.jobs),
        "p50_minutes": _timed(repair.jobs).median(),
        "planned_minutes": planned.planned_min if planned else None,
        "planned_low": planned.low if planned else None,
        "planned_high": planned.high if planned else None,
        "parts_cost": repair.parts,
        "travel_cost": repair.travel,
        "callback_reserve": repair.reserve,
        "cost_to_serve": cost.total if cost else None,
        "proposed_rate": price,
        "median_charged": first.median() if len(first) else None,
        "margin_now": margin(float(charged.mean()), expected.total)
        if expected and len(charged)
        else None,
        "margin_proposed": margin(price, expected.total) if expected else None,
        "share_under_cost_now": now.share,
        "share_under_cost_proposed": proposed.share if price is not None else None,
        "result_now": now.result,
        "result_proposed": proposed.result if price is not None else None,
        "mean_minutes": planned.mean_min if planned else None,
        "cured_minutes": repair.jobs["minutes"].mean(),
        "callback_chance": repair.callback_chance,
        "costed_jobs": now.jobs,
        "is_two_kinds": repair.two_kinds is not None,
    }
