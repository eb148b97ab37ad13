"""Every repair priced, and the ways to plan: what the page of flat rates shows, kept for later."""

from datetime import date
from typing import Any

import pandas as pd
import streamlit as st

from dashboard.database import query as data
from dashboard.database.admission import TURNS
from dashboard.database.query import Filters
from dashboard.pricing.plans import shop_plans, year_change
from dashboard.pricing.rates import rates_of
from dashboard.pricing.repair_records import repairs
from dashboard.pricing.terms import terms_of
from dashboard.ui import page


@st.cache_data(max_entries=32, show_spinner=False)
def repair_prices(
    version: str, filters: Filters, settings: dict[str, Any], since: date
) -> tuple[pd.DataFrame, pd.DataFrame]:
    """Return the table of repairs and the ways to plan, with what changed `since` a day.

    Kept by version, filters and settings. No repair: two empty tables.
    """
    with TURNS.taken():
        rows = data.run(page.folder(), "measures/flat_rate", filters, **settings)
        terms = terms_of(settings)
        records = repairs(rows, terms)
        table = rates_of(records, terms)
        keys = zip(table["appliance_kind"], table["repair_code"], strict=True)
        rates = dict(zip(keys, table["proposed_rate"], strict=True))
        year = year_change(records, rates, since)
        joined = table.merge(year, how="left", on=["appliance_kind", "repair_code"])
        return joined, shop_plans(records, terms, since)
