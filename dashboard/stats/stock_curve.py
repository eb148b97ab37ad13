"""How many jobs more money or room on a van covers: parts taken one by one, the best first."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import prod

from dashboard.stats.part_demand import PartDemand, base_stock
from dashboard.stats.van_stock import ENOUGH, Kit


@dataclass(frozen=True)
class CurvePoint:
    """What is on board fills so much (money or slots) and covers so many jobs per period."""

    filled: float
    covered: float


def stock_curve(
    kits: Sequence[Kit], demands: Mapping[str, PartDemand], sizes: Mapping[str, float]
) -> list[CurvePoint]:
    """Return the points from an empty van to one on which a further unit adds next to nothing.

    Each step adds the unit that covers most jobs for its size. At any one capacity another stock
    may do a little better (best stocks are not nested): for that one ask `best_stock`. Jobs without
    parts count from the start. No kits: one point at 0. Raises ValueError for a size of 0 or less.
    """
    if any(not sizes[part] > 0 for part in demands):
        raise ValueError("stock curve: wanted a size above 0 for every part")
    share = {
        part: demand.share_covered(base_stock(demand, ENOUGH) + _at_once(kits, part))
        for part, demand in demands.items()
    }
    using = {part: [kit for kit in kits if part in kit.parts] for part in demands}
    units = dict.fromkeys(demands, 0)
    filled, covered = 0.0, _covered(kits, share, units)
    gains = {part: _gain(part, using[part], share, units) for part in demands}
    points = [CurvePoint(filled, covered)]
    while gains:
        part = max(gains, key=lambda each: (gains[each] / sizes[each], each))
        if gains[part] <= 1e-9:
            break
        filled, covered = filled + sizes[part], covered + gains[part]
        units[part] += 1
        points.append(CurvePoint(filled, covered))
        for touched in {other for kit in using[part] for other in kit.parts}:
            gains[touched] = _gain(touched, using[touched], share, units)
    return points


def _at_once(kits: Sequence[Kit], part: str) -> int:
    return max((kit.parts.get(part, 1) for kit in kits), default=1)


def _covered(kits: Sequence[Kit], share: Mapping, units: Mapping[str, int]) -> float:
    return sum(
        kit.jobs * prod(_there(kit, part, share, units) for part in kit.parts) for kit in kits
    )


def _there(kit: Kit, part: str, share: Mapping, units: Mapping[str, int]) -> float:
    """Return the chance that the kit finds its units of the part."""
    last = len(share[part]) - 1
    return float(share[part][min(max(units[part] + 1 - kit.parts[part], 0), last)])


def _gain(part: str, using: Sequence[Kit], share: Mapping, units: dict[str, int]) -> float:
    """Return the jobs that one more unit covers, among the kits that use the part."""
    more = units | {part: units[part] + 1}
    return _covered(using, share, more) - _covered(using, share, units)
