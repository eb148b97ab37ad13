"""The chance that a job finds the units of a part that it needs, by how many are on board."""

from collections.abc import Mapping, Sequence

import numpy as np

from dashboard.stats.inventory.demand import PartDemand, base_stock
from dashboard.stats.inventory.kit import Kit

ENOUGH = 0.9999  # no unit is tried beyond a stock that so large a share of periods stays within


def most_at_once(kits: Sequence[Kit]) -> dict[str, int]:
    """Return the most units of each part that one job needs; a part that none needs is left out."""
    most: dict[str, int] = {}
    for kit in kits:
        for part, units in kit.parts.items():
            most[part] = max(units, most.get(part, 0))
    return most


def places_of(kits: Sequence[Kit], parts: Sequence[str]) -> tuple[np.ndarray, np.ndarray]:
    """Return the parts that each kit needs, by their places, and the units: one row per kit.

    Kits with fewer parts are filled up with one unit of a part behind the last, to be always there.
    """
    place = {part: i for i, part in enumerate(parts)}
    shape = (len(kits), max((len(kit.parts) for kit in kits), default=0))
    part, needed = np.full(shape, len(parts)), np.ones(shape, int)
    for row, kit in enumerate(kits):
        for column, (name, units) in enumerate(kit.parts.items()):
            part[row, column], needed[row, column] = place[name], units
    return part, needed


def of_the_others(chances: np.ndarray) -> np.ndarray:
    """Return for each chance the product of the others in its row."""
    before, after = np.ones(chances.shape), np.ones(chances.shape)
    before[:, 1:] = chances[:, :-1].cumprod(axis=1)
    after[:, :-1] = chances[:, :0:-1].cumprod(axis=1)[:, ::-1]
    return before * after


def stock_tables(
    demands: Mapping[str, PartDemand],
    at_once: Mapping[str, int],
    sizes: Mapping[str, float],
    capacity: float,
) -> list[np.ndarray]:
    """Return the chances of each part of `at_once`, up to the units that still add or still fit."""
    return [
        chances(demands[part], units, _most_units(demands[part], units, capacity / sizes[part]))
        for part, units in at_once.items()
    ]


def _most_units(demand: PartDemand, at_once: int, fit: float) -> int:
    """Return the units beyond which a part adds next to nothing, or no more fit."""
    return int(min(fit + 1e-9, max(base_stock(demand, ENOUGH), 1) + at_once - 1))


def chances(demand: PartDemand, at_once: int, most: int) -> np.ndarray:
    """Return the chance to find what is needed: rows from 0 units needed, columns from 0 on board.

    Nothing needed is always there. A job that needs two units finds them when one less than the
    stock would still serve one.
    """
    share, stock = demand.share_covered(most), np.arange(most + 1)
    needing = [share[np.maximum(stock + 1 - units, 0)] for units in range(1, at_once + 1)]
    return np.array([stock * 0.0 + 1, *needing])
