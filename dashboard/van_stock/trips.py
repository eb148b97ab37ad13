"""Trips lost for parts today, what a stock would save, and parts that lie on a van unused."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import pandas as pd

from dashboard.pricing.terms import terms_of
from dashboard.stats.inventory.demand import slow_movers
from dashboard.stats.inventory.model import VanStock
from dashboard.van_stock.compute import Need

QUARTER_DAYS, YEAR_DAYS = 91, 365


@dataclass(frozen=True)
class PartTrips:
    """Today's trips lost for a part: jobs that needed parts, those that lost a trip, and its price.

    `extra_min`: minutes that such a job took beyond the same repair done in one visit, travel in;
    None when no job can be compared. `ordered_jobs` waited for a part that was ordered on purpose.
    """

    part_jobs: int
    needed_jobs: int
    ordered_jobs: int
    extra_min: float | None
    compared_jobs: int

    @property
    def covered_share(self) -> float:
        lost = self.needed_jobs + self.ordered_jobs
        return 1 - lost / self.part_jobs if self.part_jobs else 1.0


def part_trips(rows: pd.DataFrame) -> PartTrips:
    """Return today's trips lost for parts and what one costs in minutes."""
    row = rows.iloc[0]
    return PartTrips(
        int(row["part_jobs"]),
        int(row["needed_jobs"]),
        int(row["ordered_jobs"]),
        None if pd.isna(row["extra_min"]) else float(row["extra_min"]),
        int(row["compared_jobs"]),
    )


def slow_parts(rows: pd.DataFrame, need: Need, restock_days: int) -> pd.DataFrame:
    """Return parts seen coming from a van that will more likely than not lie there for a quarter.

    Columns part_no, component, units_a_year (per van), last_needed_on, chance_unused, cost. What
    is on board is not recorded: a part counts as carried when a line says it came from the van.
    """
    parts = rows.dropna(subset=["part_no"]).drop_duplicates("part_no").set_index("part_no")
    on_board = dict.fromkeys(parts.index[parts["is_from_van"].astype(bool)], 1)
    slow = slow_movers(on_board, need.demands, max(round(QUARTER_DAYS / restock_days), 1))
    return pd.DataFrame(
        [
            (
                part,
                need.components.get(part),
                need.demands[part].mean * YEAR_DAYS / restock_days,
                parts.loc[part, "last_needed_on"],
                chance,
                need.costs.get(part),
            )
            for part, chance in slow.items()
        ],
        columns=[
            "part_no",
            "component",
            "units_a_year",
            "last_needed_on",
            "chance_unused",
            "cost",
        ],
    )


@dataclass(frozen=True)
class Saving:
    """What a stock would change in a year, all vans together; None where it cannot be said."""

    jobs: float
    minutes: float | None
    money: float | None


def saving(need: Need, stock: VanStock, today: PartTrips, settings: Mapping[str, Any]) -> Saving:
    """Return jobs completed on the first visit beyond today's, and the trips' minutes and money.

    Today's: jobs that needed parts and lost no trip for one, of all that needed parts. Negative:
    today's vans carry more than this stock.
    """
    gained = stock.covered - today.covered_share * need.jobs
    jobs = gained * need.vans_at_work * YEAR_DAYS / settings["restock_days"]
    if today.extra_min is None:
        return Saving(jobs, None, None)
    minutes = jobs * today.extra_min
    return Saving(jobs, minutes, terms_of(settings).labour(minutes))
