"""What a van needs and what fits into it, cached per snapshot."""

import pandas as pd

from dashboard.database.cache import cached, pickled_bytes
from dashboard.database.query import run
from dashboard.database.snapshot import Snapshot
from dashboard.filters import Filters
from dashboard.stats.inventory.curve import CurvePoint, stock_curve
from dashboard.stats.inventory.model import VanStock
from dashboard.van_stock.compute import Need, need_of, proposed, stock_table
from dashboard.van_stock.trips import PartTrips, part_trips, slow_parts

MOST_BYTES = 128 * 1024 * 1024


def needed(snapshot: Snapshot, filters: Filters) -> tuple[Need, PartTrips, pd.DataFrame]:
    """Return the need, today's trips and the slow parts.

    Raises access.Refused when the snapshot's reader may not see van stock.
    """
    need, trips, slow = _needed(snapshot, filters)
    return need, trips, slow.copy()


@cached(MOST_BYTES, pickled_bytes)
def _needed(snapshot: Snapshot, filters: Filters) -> tuple[Need, PartTrips, pd.DataFrame]:
    settings = snapshot.settings
    rows = run(snapshot, "measures/van_stock", filters, **settings)
    need = need_of(rows)
    return need, part_trips(rows), slow_parts(rows, need, settings["restock_days"])


def filled(
    snapshot: Snapshot, filters: Filters, capacity: float, is_budget: bool
) -> tuple[VanStock, pd.DataFrame, list[CurvePoint]]:
    """Return stock, table and curve of the need within a limit, of money or of parts on board.

    Raises access.Refused when the snapshot's reader may not see van stock.
    """
    stock, table, curve = _filled(snapshot, filters, capacity, is_budget)
    return stock, table.copy(), curve


@cached(MOST_BYTES, pickled_bytes)
def _filled(
    snapshot: Snapshot, filters: Filters, capacity: float, is_budget: bool
) -> tuple[VanStock, pd.DataFrame, list[CurvePoint]]:
    need, _, _ = _needed(snapshot, filters)
    stock = proposed(need, capacity, is_budget)
    sizes = need.costs if is_budget else dict.fromkeys(need.demands, 1.0)
    fitting = need.only(set(sizes))
    return stock, stock_table(need, stock), stock_curve(fitting.kits, fitting.demands, sizes)
