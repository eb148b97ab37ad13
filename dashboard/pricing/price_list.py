"""The proposed price list, with the assumptions it rests on."""

from collections.abc import Mapping
from typing import Any

import pandas as pd

from dashboard.database.labels import Labels
from dashboard.pricing.terms import Terms
from dashboard.settings.definitions import PRICING
from dashboard.text.csv_export import csv_text

FEW_JOBS = 10  # under it a price is proposed with a warning
LAW = "Rules on consumer estimates and on fees differ by state: they come before any price here."


def notes(table: pd.DataFrame) -> list[str]:
    """Return per repair what to know before trusting its price."""
    found = []
    for row in table.itertuples():
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


def price_list(table: pd.DataFrame, labels: Labels) -> pd.DataFrame:
    """Return the proposed price list: what can be priced, in the order of the names."""
    known = table[table["proposed_rate"].notna()].copy()
    known["note"] = notes(known)
    known["appliance"] = [labels.of("appliance_kind", kind) for kind in known["appliance_kind"]]
    known["repair"] = [
        labels.of("repair_code", row.repair_code, row.appliance_kind) for row in known.itertuples()
    ]
    columns = ["appliance", "repair", "proposed_rate", "planned_minutes", "jobs", "note"]
    return known.sort_values(["appliance", "repair"])[columns].round({"planned_minutes": 0})


def price_list_text(
    table: pd.DataFrame, labels: Labels, settings: Mapping[str, Any], terms: Terms
) -> str:
    """Return the price list as CSV text, under it what every price rests on."""
    listed, rests = price_list(table, labels), assumptions(settings, terms)
    return f"{csv_text(listed)}\n{csv_text(rests)}\n{LAW}\n"


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
