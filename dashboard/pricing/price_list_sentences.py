"""The price list → text: what it holds, what changed, what a new price must survive."""

from typing import Any

from dashboard.pricing.break_even import Raise
from dashboard.pricing.parts_drift import LEAST_DRIFT
from dashboard.pricing.price_list import PriceList
from dashboard.rows import each_row
from dashboard.text import format as words
from dashboard.text.escape_markdown import verbatim


def filtered_words(made: PriceList) -> str:
    """Say that the list is not the shop's."""
    return (
        f"FILTERED: {made.filtered}. These are not the shop's prices: they rest on few jobs and "
        "must not be handed out. Prices are approved on the list of the whole shop."
    )


def list_words(made: PriceList) -> str:
    """Say how many prices there are, how many are approved, and whose parts became dearer."""
    rows = made.rows
    priced = rows["proposed_rate"].notna()
    approved = rows["is_approved"]
    text = (
        f"**{words.counted(int(priced.sum()), 'repair')} can be priced**, "
        f"{_approved(int(approved.sum()))}. Prices in "
        f"{verbatim(made.currency or 'an unrecorded currency')}, of "
        f"{verbatim(made.scope)}, proposed from {words.day(made.effective_on)}."
    )
    moved = rows[rows["drift"].abs() >= LEAST_DRIFT]
    for row in each_row(moved):
        way = "dearer" if row.drift > 0 else "cheaper"
        text += (
            f"\n\n**{verbatim(row.label)}**: its parts are {words.percent(abs(row.drift))} {way} "
            "since the price was approved, part number by part number."
        )
    return text


def decline_words(row: Any, currency: str | None) -> str:
    """Say what share of customers may decline the new price before it earns less."""
    if row.is_call_fee:
        return "This work is priced as the call: what a visit without a repair costs the customer."
    share = row.may_decline
    if words.is_missing(share):
        return "Break-even cannot be said: the present price or the parts' cost is not recorded."
    now, new = (
        verbatim(words.money(each, currency)) for each in (row.price_now, row.proposed_rate)
    )
    if share < 0:
        return (
            f"From {now} to {new} is a cut: it earns as much only if {words.percent(-share)} more "
            "customers say yes."
        )
    return (
        f"From {now} to {new}: up to **{words.percent(share)} of the customers may decline** "
        "before the new price earns less than the present one. Technicians' hours count as paid "
        "either way; hours that other customers fill would allow more."
    )


def raise_words(each: Raise, currency: str | None) -> tuple[str, str, str, str]:
    """Write one raise: by how much, the price, its margin, who may decline."""
    return (
        f"+{words.percent(each.by)}",
        words.money(each.price, currency),
        words.percent(each.margin),
        words.percent(each.may_decline),
    )


def _approved(count: int) -> str:
    return f"{words.counted(count, 'price')} approved" if count else "none approved yet"
