"""Have the parts of a repair become dearer since its price was approved?

The same part numbers before and after: the pieces bought in the year before the approval, at the
mean cost of then and of since (Laspeyres index). Another mix of parts is therefore no drift.
"""

from dataclasses import dataclass
from datetime import date, timedelta

import pandas as pd

BASE_DAYS = 365  # before the approval: what the price rested on
LEAST_DRIFT = 0.05  # of the parts' cost; less is not worth a new price list


@dataclass(frozen=True)
class Drift:
    """How the cost of a repair's parts moved since its price was approved.

    `share` of the earlier cost, 0.08 = dearer by 8 %; `compared`: part of that cost whose part
    numbers were bought again since; `parts`: how many part numbers that is.
    """

    share: float
    compared: float
    parts: int

    @property
    def is_named(self) -> bool:
        """Return True if the repair is named: at least 5 % either way."""
        return abs(self.share) >= LEAST_DRIFT


def drift(costs: pd.DataFrame, approved_through: date) -> Drift | None:
    """Return the drift of one repair's parts; None where no part number was bought twice.

    `costs`: columns part_no, closed_on, pieces, cost (sql/pages/parts_costs).
    """
    through = pd.Timestamp(approved_through)
    days = costs["closed_on"]
    before = costs[(days <= through) & (days > through - timedelta(days=BASE_DAYS))]
    base, since = (
        rows.groupby("part_no")[["pieces", "cost"]].sum()
        for rows in (before, costs[days > through])
    )
    both = base.merge(since, on="part_no", suffixes=("", "_since"))
    if both.empty or not both["cost"].sum() > 0:
        return None
    now = (both["pieces"] * both["cost_since"] / both["pieces_since"]).sum()
    then = both["cost"].sum()
    return Drift(float(now / then - 1), float(then / base["cost"].sum()), len(both))
