"""What a repair costs the shop and what it must charge: labour, parts, reserve, flat rate.

Money in the shop's own currency, rates as fractions (0.25 = 25 %), times in minutes or hours as
named. The build-up is common practice, no source.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, inf, isfinite


@dataclass(frozen=True)
class LoadedLabour:
    """Cost of one billable hour: the technician's part, the shop's overhead, both together."""

    technician_per_hour: float
    overhead_per_hour: float

    @property
    def per_hour(self) -> float:
        return self.technician_per_hour + self.overhead_per_hour


@dataclass(frozen=True)
class Slab:
    """A slice of a part's cost, from the slab before up to `up_to`, and its factor."""

    up_to: float
    factor: float


@dataclass(frozen=True)
class CostToServe:
    """What one job of a repair costs, item by item."""

    labour: float
    travel: float
    parts: float
    consumables: float
    overhead: float
    callback_reserve: float

    @property
    def total(self) -> float:
        return float(sum(vars(self).values()))


def loaded_labour(
    wage_per_hour: float,
    burden_rate: float,
    billable_share: float,
    paid_hours: float,
    overhead_per_technician: float = 0.0,
) -> LoadedLabour:
    """Return the cost of a billable hour; `paid_hours` and overhead are of one year.

    (wage + burden) / billable share, and overhead / (paid hours * billable share). Raises
    ValueError unless 0 < billable_share <= 1, paid hours above 0 and the rest 0 or more.
    """
    _refuse_negative(wage=wage_per_hour, burden=burden_rate, overhead=overhead_per_technician)
    if not 0 < billable_share <= 1 or not paid_hours > 0:
        raise ValueError(
            f"loaded labour: billable share {billable_share} of {paid_hours} paid hours; "
            "wanted a share above 0 and up to 1, and hours above 0"
        )
    technician = wage_per_hour * (1 + burden_rate) / billable_share
    return LoadedLabour(technician, overhead_per_technician / (paid_hours * billable_share))


def marked_up(cost: float, slabs: Sequence[Slab]) -> float:
    """Return a part's price: each slice of its cost times the factor of its slab.

    Unlike one factor on the whole cost, a dearer part can never come out cheaper. Slabs rise in
    `up_to` and the last has none (`math.inf`). Cost 0: 0. Raises ValueError for slabs in another
    order, without an open end or with a factor below 1 (selling under cost), or a negative cost.
    """
    _refuse_negative(part_cost=cost)
    edges = [slab.up_to for slab in slabs]
    if not edges or edges != sorted(set(edges)) or edges[0] <= 0 or edges[-1] != inf:
        raise ValueError(f"slabs end at {edges}: wanted rising ends above 0, the last without end")
    if min(slab.factor for slab in slabs) < 1:
        raise ValueError("slabs: a factor below 1 sells under cost, wanted 1 or more")
    price, start = 0.0, 0.0
    for slab in slabs:
        price += max(min(cost, slab.up_to) - start, 0.0) * slab.factor
        start = slab.up_to
    return price


def callback_reserve(
    callback_chance: float, callback_min: float, labour_per_hour: float, parts: float = 0.0
) -> float:
    """Return what each job sets aside for its own return: chance times mean cost of a callback.

    `callback_chance` is that within the promised warranty (Kaplan-Meier, shrunk toward the shop's).
    Raises ValueError for a chance outside 0 to 1 or a negative amount.
    """
    _refuse_negative(callback_min=callback_min, labour_per_hour=labour_per_hour, parts=parts)
    if not 0 <= callback_chance <= 1:
        raise ValueError(f"callback chance is {callback_chance}: wanted a number from 0 to 1")
    return callback_chance * (callback_min / 60 * labour_per_hour + parts)


def cost_to_serve(
    planned_min: float,
    labour_per_hour: float,
    parts: float = 0.0,
    travel: float = 0.0,
    consumables: float = 0.0,
    overhead: float = 0.0,
    reserve: float = 0.0,
) -> CostToServe:
    """Return the cost of one job, item by item; `travel` is money, not minutes.

    Leave `overhead` 0 where the labour rate is loaded with it, and `travel` 0 where its minutes are
    in `planned_min`: counted twice is the commonest mistake. Raises ValueError for an amount
    below 0.
    """
    _refuse_negative(
        planned_min=planned_min,
        labour_per_hour=labour_per_hour,
        parts=parts,
        travel=travel,
        consumables=consumables,
        overhead=overhead,
        reserve=reserve,
    )
    labour = planned_min / 60 * labour_per_hour
    return CostToServe(labour, travel, parts, consumables, overhead, reserve)


def flat_rate(cost: float, target_margin: float, step: float = 0.0) -> float:
    """Return cost / (1 - margin), rounded up to the step (0: not rounded).

    Raises ValueError for a margin below 0 or from 1 on, a negative cost or step.
    """
    _refuse_negative(cost=cost, step=step)
    if not 0 <= target_margin < 1:
        raise ValueError(f"target margin is {target_margin}: wanted a number from 0 to below 1")
    price = cost / (1 - target_margin)
    # a price that is a multiple but for rounding must not jump a whole step
    return round(ceil(price / step - 1e-9) * step, 9) if step else price


def _refuse_negative(**amounts: float) -> None:
    for name, amount in amounts.items():
        if not (isfinite(amount) and amount >= 0):
            raise ValueError(f"price: {name} is {amount}, wanted 0 or more")
