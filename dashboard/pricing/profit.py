"""What a price leaves: margin, profit per hour, jobs that lost, the diagnosis fee.

Margin is a share of the price, markup a share of the cost: 15 % on top of the cost is a margin of
13 %. Common practice, no source.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from math import isfinite

from dashboard.pricing.price import flat_rate


@dataclass(frozen=True)
class ProfitPerHour:
    """A proposed price and what it earns on average per hour, after all costs."""

    planned_min: float
    price: float
    profit_per_hour: float


@dataclass(frozen=True)
class DiagnosisResult:
    """What the diagnosis fee leaves open.

    `fee_kept`: fee that stays earned per diagnosed job. `open_cost`: cost of a diagnosis less that;
    negative = earned on it. `carried_per_repair`: what the price of each accepted repair must hold
    for the diagnoses, None when no customer accepts.
    """

    fee_kept: float
    open_cost: float
    carried_per_repair: float | None


def margin(price: float, cost: float) -> float | None:
    """Return the share of the price that is left after cost; None for a price of 0."""
    return (price - cost) / price if price else None


def profit_per_hour(
    planned: Mapping[str, float],
    mean_min: float,
    labour_per_hour: float,
    other_costs: float,
    target_margin: float,
    step: float = 0.0,
) -> dict[str, ProfitPerHour]:
    """Return for each way to plan (mean, P75, P80 ...) its price and expected profit per hour.

    `planned` are minutes by name. The price follows from the planned minutes, the cost from what
    jobs take on average: cost is linear in minutes, so the mean is all it needs. `other_costs` are
    those of a job that do not grow with minutes. Raises ValueError for a mean of 0, and as
    `flat_rate`.
    """
    if not (mean_min > 0 and isfinite(mean_min)):
        raise ValueError(f"mean minutes are {mean_min}: wanted a number above 0")
    expected = mean_min / 60 * labour_per_hour + other_costs
    earned = {}
    for name, minutes in planned.items():
        price = flat_rate(minutes / 60 * labour_per_hour + other_costs, target_margin, step)
        earned[name] = ProfitPerHour(minutes, price, (price - expected) / (mean_min / 60))
    return earned


def diagnosis_result(
    fee: float, cost: float, declined: int, diagnosed: int, is_credited: bool
) -> DiagnosisResult | None:
    """Return what is left to earn elsewhere after the diagnosis fee, from the share who decline.

    `cost` of one diagnosis with its travel. Where the fee is credited against the repair, only
    those who decline pay it: kept = declined share * fee. No diagnosed job: None. Raises
    ValueError for negative money or more declined than diagnosed.
    """
    if fee < 0 or cost < 0 or not 0 <= declined <= diagnosed:
        raise ValueError(
            f"diagnosis fee {fee}, cost {cost}, {declined} of {diagnosed} declined: "
            "wanted money of 0 or more and no more declined than diagnosed"
        )
    if not diagnosed:
        return None
    declines = declined / diagnosed
    kept = fee * declines if is_credited else fee
    carried = (cost - kept) / (1 - declines) if declines < 1 else None
    return DiagnosisResult(kept, cost - kept, carried)
