"""How many customers may decline a new price before it earns less than the old one.

Break-even sales change = -change of price / (contribution margin + change of price), margin and
change per job (Nagle & Müller, The Strategy and Tactics of Pricing, chapter on financial analysis;
from memory). A customer who declines a repair still pays the diagnosis fee.
"""

from dataclasses import dataclass

RAISES = (0.05, 0.10, 0.20)


@dataclass(frozen=True)
class Raise:
    """Today's price raised by a fraction: the price, its margin, who may decline."""

    by: float
    price: float
    margin: float | None
    may_decline: float | None


def may_decline(
    old: float | None, new: float | None, saved_cost: float | None, fee: float = 0.0
) -> float | None:
    """Return the share of today's customers who may decline at the new price.

    `saved_cost`: what a declined job does not cost, its parts and consumables; the technician's
    hours are paid either way. `fee`: what who declines pays. Below 0 for a lower price: so many
    more must accept. At most 1. None when an amount is missing, or when a job at the new price
    leaves no more than a declined one.
    """
    if old is None or new is None or saved_cost is None:
        return None
    left = new - saved_cost - fee
    return min((new - old) / left, 1.0) if left > 0 else None


def raises(
    old: float | None, saved_cost: float | None, expected_cost: float | None, fee: float = 0.0
) -> list[Raise]:
    """Return what today's price leaves when it is raised by 5, 10 and 20 %; none without a price.

    `expected_cost`: of a job with mean minutes, all costs in: the margin is a share of the price.
    """
    if not old:
        return []
    found = []
    for by in RAISES:
        price = old * (1 + by)
        left = None if expected_cost is None else (price - expected_cost) / price
        found.append(Raise(by, price, left, may_decline(old, price, saved_cost, fee)))
    return found
