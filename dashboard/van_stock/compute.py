"""Parts that jobs needed → what to carry on a van, and what that would have saved.

A van is a technician's. A van-period counts when its technician attended a job in it. Part numbers
that no record prices cannot stand under a budget; they are left out there and counted.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import pandas as pd

from dashboard.rows import each_row
from dashboard.stats.inventory.demand import PartDemand, demand_of
from dashboard.stats.inventory.kit import Kit
from dashboard.stats.inventory.model import VanStock, best_stock, jobs_covered


@dataclass(frozen=True)
class Need:
    """What the vans needed: demand per part, kits per job, per van and restock period.

    `units` counts the units of each part; `costs` holds the parts that have a price.
    """

    demands: dict[str, PartDemand]
    kits: list[Kit]
    units: dict[str, int]
    costs: dict[str, float]
    components: dict[str, str]
    vans: int
    van_periods: int
    periods: int

    @cached_property
    def jobs(self) -> float:
        return sum(kit.jobs for kit in self.kits)

    @property
    def vans_at_work(self) -> float:
        return self.van_periods / self.periods if self.periods else 0.0

    def only(self, parts: set[str]) -> "Need":
        """Return the need with jobs whose every part is among these: the others never complete."""
        kits = [kit for kit in self.kits if set(kit.parts) <= parts]
        demands = {part: demand for part, demand in self.demands.items() if part in parts}
        return replace(self, demands=demands, kits=kits)


def van_stock(rows: pd.DataFrame, settings: Mapping[str, Any]) -> pd.DataFrame:
    """Return the measure van_stock from its base rows: one row per part, most useful first.

    The budget rules where parts have costs, else the slots. No rows: an empty table.
    """
    need = need_of(rows)
    is_budget = bool(need.costs)
    capacity = settings["van_budget"] if is_budget else settings["van_slots"]
    return stock_table(need, proposed(need, capacity, is_budget))


def need_of(rows: pd.DataFrame) -> Need:
    """Return demands and kits per van and period. No rows: nothing needed, no van."""
    whole = rows.iloc[0] if len(rows) else dict.fromkeys(("vans", "van_periods", "periods"), 0)
    counts = [int(whole[name]) for name in ("vans", "van_periods", "periods")]
    lines = rows.dropna(subset=["part_no"])
    parts = lines.drop_duplicates("part_no").set_index("part_no").sort_index()
    sums = parts[["units", "units_squared"]].astype(int)
    costs = parts["unit_cost"].dropna()
    return Need(
        {row.Index: demand_of(row.units, row.units_squared, counts[1]) for row in each_row(sums)},
        _kits(lines, counts[1]),
        dict(zip(sums.index, sums["units"].tolist(), strict=True)),
        {str(part): float(cost) for part, cost in costs.items() if cost > 0},
        dict(zip(parts.index, parts["component"].tolist(), strict=True)),
        *counts,
    )


def _kits(lines: pd.DataFrame, van_periods: int) -> list[Kit]:
    """Return the kits in the rows' order: those that most jobs needed first."""
    bags: dict[int, dict[str, int]] = {}
    jobs: dict[int, int] = {}
    columns = ["kit_no", "part_no", "kit_units", "kit_jobs"]
    for number, part, units, wanted in lines[columns].itertuples(index=False):
        bags.setdefault(number, {})[part] = int(units)
        jobs[number] = wanted
    return [Kit(bag, float(jobs[number]) / van_periods) for number, bag in bags.items()]


def proposed(need: Need, capacity: float, is_budget: bool) -> VanStock:
    """Return the stock under a budget (money) or a number of slots (units)."""
    sizes = need.costs if is_budget else dict.fromkeys(need.demands, 1.0)
    fitting = need.only(set(sizes))
    return best_stock(fitting.kits, fitting.demands, sizes, capacity)


def stock_table(need: Need, stock: VanStock) -> pd.DataFrame:
    """Return one row per part: demand, units to carry, chance that they are enough, cost, gain.

    Gain: jobs per van and period that would not be completed without the part on board.
    """
    using = _kits_of(need)
    found = [
        (
            part,
            need.components.get(part),
            demand.mean,
            stock.units.get(part, 0),
            demand.chance_at_most(stock.units.get(part, 0)),
            need.costs.get(part),
            _lost_without(part, using.get(part, []), need, stock),
        )
        for part, demand in need.demands.items()
    ]
    table = pd.DataFrame(found, columns=list(COLUMNS)).astype(COLUMNS)
    return table.sort_values(
        ["jobs_completed_gain", "demand_per_period", "part_no"],
        ascending=[False, False, True],
        kind="stable",
    ).reset_index(drop=True)


def _kits_of(need: Need) -> dict[str, list[Kit]]:
    """Return the kits that each part is in."""
    using: dict[str, list[Kit]] = {}
    for kit in need.kits:
        for part in kit.parts:
            using.setdefault(part, []).append(kit)
    return using


def _lost_without(part: str, using: list[Kit], need: Need, stock: VanStock) -> float:
    """Return the jobs per van and period that only this part on board completes."""
    if part not in stock.units:
        return 0.0
    demands = {other: need.demands[other] for kit in using for other in kit.parts}
    without = stock.units | {part: 0}
    return jobs_covered(using, demands, stock.units) - jobs_covered(using, demands, without)


COLUMNS = {
    "part_no": "str",
    "component": "str",
    "demand_per_period": "float64",
    "carry": "int64",
    "chance_enough": "float64",
    "cost": "float64",
    "jobs_completed_gain": "float64",
}
