"""The price list for page and command alike: read from a snapshot and the approved prices."""

from calendar import monthrange
from collections.abc import Mapping
from datetime import date, timedelta

import pandas as pd

from dashboard.database.cache import bytes_of, cached
from dashboard.database.filter_words import filter_words
from dashboard.database.labels import read_labels
from dashboard.database.query import run
from dashboard.database.snapshot import Snapshot
from dashboard.filters import Filters
from dashboard.pricing.approvals import Approvals, Key, read_approvals
from dashboard.pricing.model_groups import model_groups
from dashboard.pricing.parts_drift import BASE_DAYS, Drift, drift
from dashboard.pricing.plans import last_year
from dashboard.pricing.price_list import PriceList, price_rows
from dashboard.pricing.repair_prices import repair_prices
from dashboard.pricing.terms import terms_of
from etl.folder.sample import holds_only_sample

MOST_BYTES = 16 * 1024 * 1024


def read_price_list(
    snapshot: Snapshot, filters: Filters | None = None, effective_on: date | None = None
) -> PriceList:
    """Return the list of the whole shop, or of the filters where there are any.

    `effective_on`: the day from which proposed prices would hold; else the next month after the
    records. Raises access.Refused, PricesError.
    """
    chosen, settings = filters or Filters(), snapshot.settings
    dataset = run(snapshot, "pages/dataset").iloc[0]
    as_of = dataset.as_of.date()
    labels, approvals = read_labels(snapshot), read_approvals(snapshot.folder)
    terms = terms_of(settings)
    table, _ = repair_prices(snapshot, chosen, last_year(as_of))
    groups = _groups(snapshot, chosen)
    drifts = _drifts(snapshot, chosen, approvals)
    known = dataset.currencies == 1 and not pd.isna(dataset.currency)
    return PriceList(
        rows=price_rows(table, groups, approvals, drifts, terms, labels),
        filtered=filter_words(chosen, labels),
        currency=str(dataset.currency) if known else None,
        as_of=as_of,
        effective_on=effective_on or next_month(as_of),
        settings=settings,
        terms=terms,
        shop=str(settings.get("shop_name") or ""),
        is_sample=holds_only_sample(snapshot.version),
    )


def next_month(day: date) -> date:
    """Return the first day of the month after a day."""
    return day.replace(day=monthrange(day.year, day.month)[1]) + timedelta(days=1)


@cached(MOST_BYTES, bytes_of)
def _groups(snapshot: Snapshot, filters: Filters) -> pd.DataFrame:
    rows = run(snapshot, "measures/model_groups", filters, **snapshot.settings)
    return model_groups(rows, snapshot.settings)


def _drifts(snapshot: Snapshot, filters: Filters, approvals: Approvals) -> Mapping[Key, Drift]:
    """Return the drift of each approved repair whose parts were bought before and since."""
    standing = {
        key: step.records_through for key, step in approvals.current.items() if step.records_through
    }
    if not standing:
        return {}
    first = min(standing.values()) - timedelta(days=BASE_DAYS)
    costs = run(
        snapshot,
        "pages/parts_costs",
        filters,
        repairs=sorted({f"{kind}/{code}" for kind, code, _ in standing}),
        from_date=max(filters.from_date or first, first),
    )
    of_repair = dict(list(costs.groupby(["appliance_kind", "repair_code"])))
    found = {}
    for key, through in standing.items():
        rows = of_repair.get(key[:2])
        moved = None if rows is None else drift(rows, through)
        if moved is not None:
            found[key] = moved
    return found
