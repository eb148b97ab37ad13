"""What a van needs and what fits into it: what the page of van stock shows, kept for later."""

from typing import Any

import pandas as pd
import streamlit as st

from dashboard.database import query as data
from dashboard.database.admission import TURNS
from dashboard.database.query import Filters
from dashboard.stats.inventory.curve import stock_curve
from dashboard.ui import page
from dashboard.van_stock.compute import Need, need_of, proposed, stock_table
from dashboard.van_stock.trips import PartTrips, part_trips, slow_parts


@st.cache_data(max_entries=8, show_spinner=False)
def needed(
    version: str, filters: Filters, settings: dict[str, Any]
) -> tuple[Need, PartTrips, pd.DataFrame]:
    """Return the need, today's trips and the slow parts; kept by version, filters and settings."""
    with TURNS.taken():
        rows = data.run(page.folder(), "measures/van_stock", filters, **settings)
        need = need_of(rows)
        return need, part_trips(rows), slow_parts(rows, need, settings["restock_days"])


@st.cache_data(max_entries=16, show_spinner=False)
def filled(
    version: str, filters: Filters, settings: dict[str, Any], capacity: float, is_budget: bool
) -> tuple:
    """Return stock, table and curve of the need within a limit, of money or of parts on board."""
    need, _, _ = needed(version, filters, settings)
    with TURNS.taken():
        stock = proposed(need, capacity, is_budget)
        sizes = need.costs if is_budget else dict.fromkeys(need.demands, 1.0)
        fitting = need.only(set(sizes))
        return stock, stock_table(need, stock), stock_curve(fitting.kits, fitting.demands, sizes)
