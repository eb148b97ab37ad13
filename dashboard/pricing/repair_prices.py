"""Every repair priced, and the ways to plan, cached per snapshot."""

from datetime import date

import pandas as pd

from dashboard.database.cache import cached, pickled_bytes
from dashboard.database.query import run
from dashboard.database.snapshot import Snapshot
from dashboard.filters import Filters
from dashboard.pricing.plans import shop_plans, year_change
from dashboard.pricing.rates import rates_of
from dashboard.pricing.repair_records import repairs
from dashboard.pricing.terms import terms_of

MOST_BYTES = 128 * 1024 * 1024


def repair_prices(
    snapshot: Snapshot, filters: Filters, since: date
) -> tuple[pd.DataFrame, pd.DataFrame]:
    """Return the table of repairs and the ways to plan, with what changed `since` a day.

    No repair: two empty tables. Raises access.Refused when the snapshot's reader may not see flat
    rates.
    """
    table, plans = _repair_prices(snapshot, filters, since)
    return table.copy(), plans.copy()


@cached(MOST_BYTES, pickled_bytes)
def _repair_prices(
    snapshot: Snapshot, filters: Filters, since: date
) -> tuple[pd.DataFrame, pd.DataFrame]:
    rows = run(snapshot, "measures/flat_rate", filters, **snapshot.settings)
    terms = terms_of(snapshot.settings)
    records = repairs(rows, terms)
    table = rates_of(records, terms)
    keys = zip(table["appliance_kind"], table["repair_code"], strict=True)
    rates = dict(zip(keys, table["proposed_rate"], strict=True))
    year = year_change(records, rates, since)
    joined = table.merge(year, how="left", on=["appliance_kind", "repair_code"])
    return joined, shop_plans(records, terms, since)
