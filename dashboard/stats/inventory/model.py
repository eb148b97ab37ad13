"""The van stock that lets most jobs be finished with what is on board.

A job is covered when every part it needs is there. A part's chance to be there when a job comes is
the share of its demand that the stock covers (`PartDemand.share_covered`); for a job that needs
several, the chances are multiplied. That is a little low: demands that rise together are also met
together, and the truth lies between the product and the smallest chance of the job's parts.

Best stocks are not nested (a dearer budget may drop a part that a smaller one held), so taking the
best part after part can fail. Small cases are searched completely. Larger ones are solved as an
integer programme in which a job counts by its smallest chance: no stock can do better than that
optimum, which is the bound; the stock found is then improved by local search.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import product as every

import numpy as np

from dashboard.stats.inventory.demand import PartDemand
from dashboard.stats.inventory.fill_rate import chances, most_at_once, stock_tables
from dashboard.stats.inventory.kit import Kit
from dashboard.stats.inventory.local_search import LocalSearch
from dashboard.stats.inventory.milp_bound import smallest_chance_stock

EXACT_STOCKS = 300_000  # complete search up to here: below two seconds


@dataclass(frozen=True)
class VanStock:
    """Units on board, the jobs covered per period, all jobs, and the most any stock can cover."""

    units: dict[str, int]
    covered: float
    jobs: float
    bound: float
    is_exact: bool

    @property
    def gap(self) -> float:
        return max(self.bound - self.covered, 0.0)


def jobs_covered(
    kits: Sequence[Kit], demands: Mapping[str, PartDemand], units: Mapping[str, int]
) -> float:
    """Return the expected jobs per period whose every part is on board.

    Jobs that need no part always count. No jobs: 0. Raises ValueError for a part without demand, or
    a kit with a negative rate or a part needed less than once.
    """
    _check(kits, demands)
    parts, at_once = list(demands), most_at_once(kits)
    tables = [chances(demands[p], at_once.get(p, 0), units.get(p, 0)) for p in parts]
    return float(_covered(kits, parts, tables, np.array([[units.get(p, 0) for p in parts]]))[0])


def best_stock(
    kits: Sequence[Kit],
    demands: Mapping[str, PartDemand],
    sizes: Mapping[str, float],
    capacity: float,
) -> VanStock:
    """Return the stock that covers most jobs with sizes * units <= capacity.

    `sizes` are costs for a budget, or slots. Exact while there are at most 300 000 stocks to try
    (ties: the one that fills least); beyond, within `gap` of the best possible. No kits or
    nothing fits: nothing on board. Raises ValueError as `jobs_covered`, for a size of 0 or less, a
    part without size, or a capacity below 0.
    """
    _check(kits, demands)
    at_once = most_at_once(kits)
    parts = [part for part in demands if part in at_once]
    if capacity < 0 or any(sizes.get(part, 0) <= 0 for part in parts):
        raise ValueError(
            "van stock: wanted a size above 0 for every part and a capacity of 0 or more"
        )
    size = np.array([sizes[part] for part in parts], float)
    tables = stock_tables(demands, {part: at_once[part] for part in parts}, sizes, capacity)
    jobs = float(sum(kit.jobs for kit in kits))
    if math.prod(table.shape[1] for table in tables) <= EXACT_STOCKS:
        stock, covered = _search_all(kits, parts, tables, size, capacity)
        return VanStock(_named(parts, stock), covered, jobs, covered, True)
    stock, bound = smallest_chance_stock(kits, parts, tables, size, capacity)
    search = LocalSearch(kits, parts, tables, size, capacity)
    stock = search.improved(stock)
    covered = search.covered(stock)
    return VanStock(_named(parts, stock), covered, jobs, bound, bound - covered < 1e-9)


def _named(parts: list[str], stock: np.ndarray) -> dict[str, int]:
    return {part: int(units) for part, units in zip(parts, stock, strict=True) if units}


def _check(kits: Sequence[Kit], demands: Mapping[str, PartDemand]) -> None:
    for kit in kits:
        strange = sorted(part for part in kit.parts if part not in demands)
        if strange:
            raise ValueError(f"van stock: no demand given for {strange}")
        if kit.jobs < 0 or min(kit.parts.values(), default=1) < 1:
            raise ValueError(f"van stock: {kit}: wanted 0 or more jobs, each part 1 or more times")


def _covered(
    kits: Sequence[Kit], parts: list[str], tables: list[np.ndarray], stocks: np.ndarray
) -> np.ndarray:
    """Return jobs covered by each stock (a row of units per part)."""
    total = np.zeros(len(stocks))
    for kit in kits:
        chance = np.full(len(stocks), float(kit.jobs))
        for place, part in enumerate(parts):
            if part in kit.parts:
                chance *= tables[place][kit.parts[part], stocks[:, place]]
        total += chance
    return total


def _search_all(
    kits: Sequence[Kit],
    parts: list[str],
    tables: list[np.ndarray],
    size: np.ndarray,
    capacity: float,
) -> tuple[np.ndarray, float]:
    stocks = np.array(list(every(*(range(table.shape[1]) for table in tables))), int)
    filled = stocks @ size
    stocks, filled = stocks[filled <= capacity + 1e-9], filled[filled <= capacity + 1e-9]
    covered = _covered(kits, parts, tables, stocks)
    best = np.lexsort((filled, -np.round(covered, 12)))[0]
    return stocks[best], float(covered[best])
