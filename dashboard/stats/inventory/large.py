"""The stock of a van with many part numbers: near the best, with the gap told, in about a second.

The integer programme of `stock_programme` gives a first stock and a bound that no stock can pass.
Then a unit is added, or one given up for another, as long as more jobs are covered.
"""

from collections.abc import Mapping, Sequence

import numpy as np

from dashboard.stats.inventory.demand import PartDemand
from dashboard.stats.inventory.fill_rate import most_at_once, stock_tables
from dashboard.stats.inventory.kit import Kit
from dashboard.stats.inventory.local_search import Exchange
from dashboard.stats.inventory.milp_bound import smallest_chance_stock
from dashboard.stats.inventory.model import VanStock, best_stock

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
    exchange = Exchange(kits, parts, tables)
    stock = exchange.bettered(stock, size, capacity)
    covered = exchange.covered(stock)
    units = {part: int(n) for part, n in zip(parts, stock, strict=True) if n}
    jobs = float(sum(kit.jobs for kit in kits))
    return VanStock(units, covered, jobs, bound, bound - covered < 1e-9)
