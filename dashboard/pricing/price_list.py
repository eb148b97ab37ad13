"""The price list: what is charged now, what is proposed, on what it rests, what is approved."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

import pandas as pd

from dashboard.database.labels import Labels
from dashboard.pricing.approvals import Approvals, Key
from dashboard.pricing.break_even import may_decline
from dashboard.pricing.model_groups import QUICK
from dashboard.pricing.parts_drift import Drift
from dashboard.pricing.terms import Terms
from dashboard.rows import each_row
from dashboard.settings.definitions import PRICING

FEW_JOBS = 10  # under it a price is proposed with a warning
LAW = "Rules on consumer estimates and on fees differ by state: they come before any price here."
WHOLE_SHOP = "the whole shop"


@dataclass(frozen=True)
class PriceList:
    """One list with all that it rests on.

    `filtered`: the filters in words; empty for the whole shop. `rows`: as `price_rows`.
    """

    rows: pd.DataFrame
    filtered: str
    currency: str | None
    as_of: date
    effective_on: date
    settings: Mapping[str, Any]
    terms: Terms
    shop: str
    is_sample: bool = False

    @property
    def scope(self) -> str:
        """Say of what the list is."""
        return f"FILTERED: {self.filtered}" if self.filtered else WHOLE_SHOP

    @property
    def file_name(self) -> str:
        """Return the name of its files, without the ending."""
        return f"price_list{'_FILTERED' if self.filtered else ''}_{self.effective_on.isoformat()}"


def notes(table: pd.DataFrame) -> list[str]:
    """Return per repair what to know before trusting its price."""
    found = []
    for row in each_row(table):
        remarks = []
        if row.is_call_fee:
            remarks.append("priced as the call")
        if row.jobs < FEW_JOBS:
            remarks.append("few jobs")
        if row.is_two_kinds:
            remarks.append("two kinds of job")
        if pd.isna(row.proposed_rate):
            remarks.append("cannot be said")
        found.append(", ".join(remarks))
    return found


def rate_range(table: pd.DataFrame, terms: Terms) -> pd.DataFrame:
    """Return low and high of each proposed rate, from the range of the planned minutes.

    Columns low, high; missing for the price of a call, which rests on no minutes.
    """
    per_minute = terms.labour_per_hour / 60 / (1 - terms.target_margin)
    rate = table["proposed_rate"].where(~table["is_call_fee"])
    return pd.DataFrame(
        {
            edge: rate + (table[f"planned_{edge}"] - table["planned_minutes"]) * per_minute
            for edge in ("low", "high")
        }
    )


def price_rows(
    table: pd.DataFrame,
    groups: pd.DataFrame,
    approvals: Approvals,
    drifts: Mapping[Key, Drift],
    terms: Terms,
    labels: Labels,
) -> pd.DataFrame:
    """Return one row per price: a repair, or each of its two groups of models.

    `table`: measure flat_rate, `groups`: measure model_groups. Adds to them key, label, low, high,
    price_now (approved, else the median charge), is_approved, approved_price, effective_on,
    may_decline, drift, note. In the order of the labels.
    """
    rows = _with_sides(table, groups, terms)
    rows[["low", "high"]] = rate_range(rows, terms)
    keys = list(zip(rows["appliance_kind"], rows["repair_code"], rows["side"], strict=True))
    standing = [approvals.current.get(key) for key in keys]
    rows["key"] = ["/".join(filter(None, key)) for key in keys]
    rows["label"] = [_label(row, labels) for row in each_row(rows)]
    rows["is_approved"] = [step is not None for step in standing]
    rows["approved_price"] = pd.Series(
        [step.price if step else None for step in standing], rows.index, dtype="float64"
    )
    rows["effective_on"] = [step.effective_on if step else None for step in standing]
    rows["price_now"] = rows["approved_price"].fillna(rows["median_charged"])
    rows["saved_cost"] = rows["parts_cost"] + terms.consumables
    rows["may_decline"] = [_may_decline(row, terms) for row in each_row(rows)]
    rows["drift"] = pd.Series(
        [drifts[key].share if key in drifts else None for key in keys], rows.index, dtype="float64"
    )
    rows["note"] = notes(rows)
    return rows.sort_values(["label", "key"], ignore_index=True)


def _may_decline(row: Any, terms: Terms) -> float | None:
    amounts = [row.price_now, row.proposed_rate, row.saved_cost]
    if row.is_call_fee or any(pd.isna(amount) for amount in amounts):
        return None
    return may_decline(row.price_now, row.proposed_rate, row.saved_cost, terms.call_fee)


def _label(row: Any, labels: Labels) -> str:
    repair = labels.of("repair_code", row.repair_code, row.appliance_kind)
    label = f"{repair}, {labels.of('appliance_kind', row.appliance_kind)}"
    if not row.side:
        return label
    return f"{label}, {'quicker' if row.side == QUICK else 'slower'} models"


def _with_sides(table: pd.DataFrame, groups: pd.DataFrame, terms: Terms) -> pd.DataFrame:
    """Return the table with two rows for each repair that needs two prices."""
    repair = ["appliance_kind", "repair_code"]
    two = groups[groups["flagged"].astype(bool)]
    split = table.merge(two, on=repair, suffixes=("", "_of_side"))
    if split.empty:
        return table.assign(side="", models="")
    planned = split["planned_minutes_of_side"]
    change = (planned - split["planned_minutes"]) / 60 * terms.labour_per_hour
    for name in ("jobs", "p50_minutes", "planned_minutes", "planned_low", "planned_high"):
        split[name] = split.pop(f"{name}_of_side")
    for name in ("cost_to_serve", "expected_cost"):
        split[name] += change
    split["proposed_rate"] = [_price(row, terms) for row in each_row(split)]
    split["rate_at_hand"] = float("nan")
    split["is_two_kinds"] = False
    whole = table.merge(two[repair].drop_duplicates(), how="left", on=repair, indicator=True)
    one = table[(whole["_merge"] == "left_only").to_numpy()].assign(side="", models="")
    return pd.concat([one, split[one.columns]], ignore_index=True)


def _price(row: Any, terms: Terms) -> float | None:
    if pd.isna(row.cost_to_serve) or (terms.slabs and pd.isna(row.parts_price)):
        return None
    parts_price = 0.0 if pd.isna(row.parts_price) else row.parts_price
    return terms.price(row.cost_to_serve - row.parts_cost, row.parts_cost, parts_price)


def assumptions(settings: Mapping[str, Any], terms: Terms) -> pd.DataFrame:
    """Return what the prices rest on: every setting of pricing with its unit and meaning."""
    rows = [(each.key, str(settings[each.key]), each.unit, each.meaning) for each in PRICING]
    rows.append(
        (
            "loaded labour",
            f"{terms.labour_per_hour:.2f}",
            "money per billable hour",
            "(wage + burden) / billable share + overhead / billable hours",
        )
    )
    return pd.DataFrame(rows, columns=["assumption", "value", "unit", "meaning"])
