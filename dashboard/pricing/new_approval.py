"""An approval of one price of the list, kept with what the price rested on."""

from datetime import date
from typing import Any

import pandas as pd

from dashboard.pricing.approvals import PricesError, Step, approval
from dashboard.pricing.price_list import PriceList


def approval_of(
    made: PriceList, row: Any, price: float | None = None, effective_on: date | None = None
) -> Step:
    """Return the approval of a row of the list, at its proposed price unless another is given.

    Raises PricesError for a filtered list, a price that cannot be said, or one out of bounds.
    """
    if made.filtered:
        raise PricesError(
            f"{row.key}: the list is filtered ({made.filtered}); approve on the whole shop's list"
        )
    chosen = row.proposed_rate if price is None else price
    if pd.isna(chosen) or chosen <= 0:
        raise PricesError(f"{row.key}: no price is proposed; give one above 0, as {row.key}=250")
    return approval(
        appliance_kind=row.appliance_kind,
        repair_code=row.repair_code,
        side=row.side,
        models=row.models,
        price=round(float(chosen), 2),
        old_price=_known(row.price_now),
        currency=made.currency or "",
        effective_on=effective_on or made.effective_on,
        records_through=made.as_of,
        parts_cost=_known(row.parts_cost),
        jobs=int(row.jobs),
    )


def _known(amount: float) -> float | None:
    return None if pd.isna(amount) else round(float(amount), 2)
