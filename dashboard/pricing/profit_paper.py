"""Profit per hour as a sheet to print."""

import pandas as pd

from dashboard.database.filter_words import filter_words
from dashboard.database.labels import Labels
from dashboard.filters import Filters
from dashboard.rows import Row, each_row
from dashboard.text import format as words
from dashboard.text.paper import Paper, PaperTable


def profit_paper(
    table: pd.DataFrame, title: str, filters: Filters, labels: Labels, currency: str | None
) -> Paper:
    """Return profit per hour as a sheet; `table` has label and range."""
    filtered = filter_words(filters, labels)
    rows = [
        [
            r.label,
            words.money(r.profit_per_hour, currency, is_unit_price=True),
            r.range,
            words.number(r.jobs),
            words.number(r.hours),
            words.money(r.profit, currency),
        ]
        for r in each_row(table)
    ]
    heads = [title, "Profit per hour", "95% range", "Jobs", "Hours", "Profit"]
    return Paper(
        f"Profit per hour by {title.lower()}",
        [f"Of {filtered or 'the whole shop'}. {currency or 'Currency not recorded'}."],
        [PaperTable("Least first", heads, rows, frozenset(range(1, 6)))],
        [
            "Profit is the charge less labor, travel, parts, consumables and other cost per job, "
            "with what returns under warranty cost. A range that crosses 0 does not say whether "
            "the work earns or loses."
        ],
        f"FILTERED: {filtered}" if filtered else None,
    )


def named_groups(
    table: pd.DataFrame, by: str, labels: Labels, currency: str | None
) -> pd.DataFrame:
    """Add key, label and the interval in words to the measure profit_per_hour."""
    rows = list(each_row(table))
    return table.assign(
        key=[f"{r.group}/{r.appliance_kind or ''}" for r in rows],
        label=[_label(r, by, labels) for r in rows],
        range=[
            words.MISSING
            if words.is_missing(r.low)
            else f"{words.money(r.low, currency)} to {words.money(r.high, currency)}"
            for r in rows
        ],
    )


def _label(row: Row, by: str, labels: Labels) -> str:
    label = labels.of(by, row.group, row.appliance_kind or "")
    if not row.appliance_kind:
        return label
    return f"{label}, {labels.of('appliance_kind', row.appliance_kind)}"
