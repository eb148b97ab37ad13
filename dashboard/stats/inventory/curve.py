"""How many jobs more money or room on a van covers: parts taken one by one, the best first."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from dashboard.stats.inventory.demand import PartDemand, base_stock
from dashboard.stats.inventory.fill_rate import ENOUGH, most_at_once, of_the_others, places_of
from dashboard.stats.inventory.kit import Kit


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
    filled, covered = 0.0, float(sum(kit.jobs for kit in kits if not kit.parts))
    points = [CurvePoint(filled, covered)]
    kits = [kit for kit in kits if kit.parts]
    if not kits:
        return points
    parts = sorted({part for kit in kits for part in kit.parts})
    size = np.array([sizes[part] for part in parts])
    van = _Van(kits, parts, demands)
    while True:
        worth = van.gains / size
        part = len(parts) - 1 - int(worth[::-1].argmax())  # of equal ones the last by name
        gain = float(van.gains[part])
        if gain <= 1e-9:
            return points
        filled, covered = filled + float(size[part]), covered + gain
        points.append(CurvePoint(filled, covered))
        van.take(part)


class _Van:
    """What is on board, and what one more unit of each part would cover.

    A line is a kit and one of its parts; what fills a kit up is always there.
    """

    def __init__(
        self, kits: Sequence[Kit], parts: list[str], demands: Mapping[str, PartDemand]
    ) -> None:
        at_once = most_at_once(kits)
        self.part, self.needed = places_of(kits, parts)
        shape = self.part.shape
        self.rate = np.array([kit.jobs for kit in kits])
        share = [
            demands[part].share_covered(base_stock(demands[part], ENOUGH) + at_once[part])
            for part in parts
        ]
        self.last = np.array([*(len(each) - 1 for each in share), 0])
        self.start = np.cumsum([0, *(len(each) for each in share)])
        self.share = np.concatenate([*share, [1.0]])
        self.units = np.zeros(len(parts) + 1, int)
        order = np.argsort(self.part, axis=None, kind="stable")
        ends = np.searchsorted(self.part.ravel()[order], np.arange(len(parts) + 1))
        self.using = [order[a:b] // shape[1] for a, b in pairwise(ends)]
        self.gain = np.empty(shape)
        every = np.arange(len(kits))
        self._weigh(every)
        self.gains = self._by_part(every, self.gain)

    def take(self, part: int) -> None:
        """Put one more unit of a part on board."""
        rows = self.using[part]
        before = self.gain[rows]
        self.units[part] += 1
        self._weigh(rows)
        self.gains += self._by_part(rows, self.gain[rows] - before)

    def _by_part(self, rows: np.ndarray, gain: np.ndarray) -> np.ndarray:
        gains = np.bincount(self.part[rows].ravel(), gain.ravel(), len(self.units))
        return gains[:-1]  # without what fills the kits up

    def _weigh(self, rows: np.ndarray) -> None:
        """Say for these kits what one more unit of each of their parts would cover."""
        now, more = (self._there(rows, extra) for extra in (0, 1))
        self.gain[rows] = self.rate[rows, None] * of_the_others(now) * (more - now)

    def _there(self, rows: np.ndarray, extra: int) -> np.ndarray:
        """Return the chance that each kit finds its units, with `extra` units more on board."""
        part = self.part[rows]
        found = np.maximum(self.units[part] + extra + 1 - self.needed[rows], 0)
        chance: np.ndarray = self.share[self.start[part] + np.minimum(found, self.last[part])]
        return chance
