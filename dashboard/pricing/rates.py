"""Cured complaints → what each repair costs, what it must charge, what today's charge leaves.

The jobs' own minutes are planned, second trips in; returns under warranty are in the price once, as
reserve (chance times mean cost of a return). What past jobs cost is counted with the returns that
they really had. Diagnosis is in the time on job and is added nowhere.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import pandas as pd

from dashboard.pricing.price import CostToServe, cost_to_serve
from dashboard.pricing.profit import margin
from dashboard.pricing.repair_records import Repair, known, repairs, timed
from dashboard.pricing.terms import CALL_FEE_REPAIRS, Terms, terms_of


def flat_rate(rows: pd.DataFrame, settings: Mapping[str, Any]) -> pd.DataFrame:
    """Return the measure flat_rate from its base rows: one row per repair, most money lost first.

    No rows: an empty table with the same columns. Money is missing where minutes or parts costs
    are not recorded.
    """
    terms = terms_of(settings)
    return rates_of(repairs(rows, terms), terms)


def rates_of(found_repairs: Mapping[tuple[str, str], Repair], terms: Terms) -> pd.DataFrame:
    """Return the measure flat_rate from what the records say of each repair."""
    found = [
        {"repair_code": code, "appliance_kind": kind} | _summary(repair, terms)
        for (kind, code), repair in found_repairs.items()
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
            "parts_price",
            "rate_at_hand",
            "expected_cost",
        ),
        "float64",
    ),
    "jobs_at_hand": "int64",
    "costed_jobs": "int64",
    "is_call_fee": "bool",
    "is_two_kinds": "bool",
}


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


def price_of(cost: CostToServe | None, repair: Repair, terms: Terms) -> float | None:
    """Return what a repair is charged at a cost to serve; None when that cannot be said.

    Work that is no repair (leveling, explaining) is charged as the call.
    """
    if repair.code in CALL_FEE_REPAIRS:
        return terms.call_fee
    if cost is None or (terms.slabs and repair.parts_price is None):
        return None
    return terms.price(cost.total - cost.parts, cost.parts, repair.parts_price or 0.0)


def price_at_hand(repair: Repair, terms: Terms) -> float | None:
    """Return the price if no job were sent away for a missing part; None when it cannot be said."""
    direct = repair.at_hand
    if direct is None:
        return None
    cost = cost_of(replace(repair, travel=direct.travel), direct.planned_min, terms)
    return price_of(cost, repair, terms)


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
    charged = jobs["charged"].to_numpy(float) if price is None else price
    left = charged - jobs["cost"].to_numpy(float)
    left = left[~np.isnan(left)]
    return PastJobs(len(left), int((left < -1e-9).sum()), float(left.sum()) if len(left) else None)


def _summary(repair: Repair, terms: Terms) -> dict[str, Any]:
    planned = repair.minutes
    cost = cost_of(repair, planned.planned_min if planned else None, terms)
    expected = cost_of(repair, planned.mean_min if planned else None, terms)
    price, charged = price_of(cost, repair, terms), known(repair.jobs["charged"])
    own_min, first = timed(repair.jobs), known(repair.jobs["first_charged"])
    now, proposed = past_jobs(repair.jobs), past_jobs(repair.jobs, price)
    return {
        "jobs": len(repair.jobs),
        "p50_minutes": np.median(own_min) if len(own_min) else None,
        "planned_minutes": planned.planned_min if planned else None,
        "planned_low": planned.low if planned else None,
        "planned_high": planned.high if planned else None,
        "parts_cost": repair.parts,
        "travel_cost": repair.travel,
        "callback_reserve": repair.reserve,
        "cost_to_serve": cost.total if cost else None,
        "proposed_rate": price,
        "median_charged": np.median(first) if len(first) else None,
        "margin_now": margin(float(charged.mean()), expected.total)
        if expected and len(charged)
        else None,
        "margin_proposed": margin(price, expected.total)
        if expected and price is not None
        else None,
        "share_under_cost_now": now.share,
        "share_under_cost_proposed": proposed.share if price is not None else None,
        "result_now": now.result,
        "result_proposed": proposed.result if price is not None else None,
        "mean_minutes": planned.mean_min if planned else None,
        "cured_minutes": repair.jobs["minutes"].mean(),
        "callback_chance": repair.callback_chance,
        "parts_price": repair.parts_price,
        "expected_cost": expected.total if expected else None,
        "rate_at_hand": price_at_hand(repair, terms),
        "jobs_at_hand": repair.at_hand.jobs if repair.at_hand else 0,
        "costed_jobs": now.jobs,
        "is_call_fee": repair.code in CALL_FEE_REPAIRS,
        "is_two_kinds": repair.two_kinds is not None,
    }
