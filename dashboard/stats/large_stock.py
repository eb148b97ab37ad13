"""The stock of a van with many part numbers: near the best, with the gap told, in about a second.

The integer programme of `stock_programme` gives a first stock and a bound that no stock can pass.
Then a unit is added, or one given up for another, as long as more jobs are covered. The worth of
every such move follows from what each part adds or takes by itself, corrected for the few jobs that
need both: all pairs are weighed at once.
"""

from collections.abc import Mapping, Sequence
from math import prod

import numpy as np

from dashboard.stats.part_demand import PartDemand
from dashboard.stats.stock_chances import most_at_once, stock_tables
from dashboard.stats.stock_programme import smallest_chance_stock
from dashboard.stats.van_stock import Kit, VanStock, best_stock

FEW_PARTS = 12  # up to here best_stock, exact or nearly so, is quick


def large_stock(
    kits: Sequence[Kit],
    demands: Mapping[str, PartDemand],
    sizes: Mapping[str, float],
    capacity: float,
    seconds: float = 5.0,
) -> VanStock:
    """Return a stock with sizes * units <= capacity and the gap to the best possible.

    Up to 12 part numbers as `best_stock`, which also checks what is given and raises ValueError;
    beyond, the programme is stopped after `seconds`. No kits or nothing fits: nothing on board.
    """
    at_once = most_at_once(kits)
    parts = [part for part in demands if part in at_once]
    if len(parts) <= FEW_PARTS:
        return best_stock(kits, demands, sizes, capacity, seconds)
    best_stock([], {}, {}, capacity)  # refuses a capacity below 0
    if any(not sizes.get(part, 0) > 0 for part in parts):
        raise ValueError("van stock: wanted a size above 0 for every part")
    tables = stock_tables(demands, {part: at_once[part] for part in parts}, sizes, capacity)
    size = np.array([sizes[part] for part in parts], float)
    stock, bound = smallest_chance_stock(kits, parts, tables, size, capacity, seconds)
    exchange = _Exchange(kits, parts, tables)
    stock = exchange.bettered(stock, size, capacity)
    covered = float(exchange.covered(stock))
    units = {part: int(n) for part, n in zip(parts, stock, strict=True) if n}
    jobs = float(sum(kit.jobs for kit in kits))
    return VanStock(units, covered, jobs, bound, bound - covered < 1e-9)


class _Exchange:
    """Moves of one unit in, one out, weighed for all pairs of parts."""

    def __init__(self, kits: Sequence[Kit], parts: list[str], tables: list[np.ndarray]) -> None:
        place = {part: i for i, part in enumerate(parts)}
        self.needs = [{place[part]: n for part, n in kit.parts.items()} for kit in kits]
        self.rates = [kit.jobs for kit in kits]
        self.tables = tables
        self.most = np.array([table.shape[1] - 1 for table in tables])

    def covered(self, stock: np.ndarray) -> float:
        return sum(
            rate * prod(self.tables[i][units, stock[i]] for i, units in needs.items())
            for rate, needs in zip(self.rates, self.needs, strict=True)
        )

    def bettered(self, stock: np.ndarray, size: np.ndarray, capacity: float) -> np.ndarray:
        stock = stock.copy()
        while True:
            gain = self._gains(stock)
            filled = float(stock @ size)
            # the last column gives nothing up
            fits = filled + size[:, None] - np.append(size, 0)[None, :] <= capacity + 1e-9
            fits &= (stock < self.most)[:, None] & np.append(stock > 0, True)[None, :]
            gain = np.where(fits, gain, -np.inf)
            taken, given = np.unravel_index(gain.argmax(), gain.shape)
            if gain[taken, given] <= 1e-9:
                return stock
            stock[taken] += 1
            if given < len(stock):
                stock[given] -= 1

    def _gains(self, stock: np.ndarray) -> np.ndarray:
        """Return jobs gained by a unit more of the row's part for one less of the column's."""
        n = len(stock)
        more, less, both = np.zeros(n), np.zeros(n), np.zeros((n, n + 1))
        for rate, needs in zip(self.rates, self.needs, strict=True):
            now, up, down = (self._at(needs, stock, step) for step in (0, 1, -1))
            value = rate * prod(now.values())
            rest = {i: rate * prod(now[k] for k in needs if k != i) for i in needs}
            for i in needs:
                more[i] += rest[i] * up[i] - value
                less[i] += rest[i] * down[i] - value
                for j in needs:
                    if i != j:
                        others = rate * prod(now[k] for k in needs if k not in (i, j))
                        apart = rest[i] * up[i] + rest[j] * down[j] - 2 * value
                        both[i, j] += others * up[i] * down[j] - value - apart
        both += more[:, None] + np.append(less, 0)[None, :]
        both[np.arange(n), np.arange(n)] = 0
        return both

    def _at(self, needs: dict[int, int], stock: np.ndarray, step: int) -> dict[int, float]:
        return {
            i: float(self.tables[i][units, min(max(stock[i] + step, 0), self.most[i])])
            for i, units in needs.items()
        }
