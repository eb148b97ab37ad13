"""The price list as a file: CSV for another program, a sheet for the shop, one for customers."""

from collections.abc import Sequence
from typing import Any

import pandas as pd

from dashboard.database.labels import Labels
from dashboard.pricing.parts_drift import LEAST_DRIFT
from dashboard.pricing.price_list import LAW, PriceList, assumptions
from dashboard.rows import Row, each_row
from dashboard.text import format as words
from dashboard.text.csv_export import csv_text
from dashboard.text.paper import Paper, PaperTable, paper_html

FILTERED_WARNING = "FILTERED ({}). This is not the shop's price list: do not hand it out."
COLUMNS = [
    "appliance_kind", "repair_code", "side", "models", "label", "price_now", "is_approved",
    "proposed_rate", "low", "high", "rate_at_hand", "jobs", "jobs_at_hand", "planned_minutes",
    "expected_cost", "may_decline", "drift", "approved_price", "effective_on", "note",
]  # fmt: skip


def price_list_text(made: PriceList) -> str:
    """Return the list as CSV text, under it what every price rests on.

    Each row carries the currency, and of what the list is: a column "scope", named "FILTERED"
    where filters leave part of the shop out.
    """
    scope = "FILTERED" if made.filtered else "scope"
    rows = made.rows[COLUMNS].assign(
        currency=made.currency or "",
        proposed_from=made.effective_on.isoformat(),
        **{scope: made.filtered or made.scope},
    )
    rows["effective_on"] = [day.isoformat() if day else "" for day in rows["effective_on"]]
    front = [scope, "currency", "proposed_from"]
    ordered = rows[[*front, *COLUMNS]].round({"planned_minutes": 0, "low": 2, "high": 2})
    rests = assumptions(made.settings, made.terms)
    return f"{csv_text(ordered)}\n{csv_text(rests)}\n{LAW}\n"


def warning(made: PriceList) -> str | None:
    """Return the warning of a filtered list; None for the whole shop's."""
    return FILTERED_WARNING.format(made.filtered) if made.filtered else None


def list_html(made: PriceList) -> str:
    """Return the list with all that it rests on, for the shop itself."""
    rows = [_row(row, made) for row in each_row(made.rows)]
    listed = PaperTable("Prices", HEADS, rows, frozenset(range(1, 7)))
    rests = assumptions(made.settings, made.terms)
    terms = PaperTable(
        "What the prices rest on",
        ["Assumption", "Value", "Unit", "Meaning"],
        rests.astype(str).to_numpy().tolist(),
    )
    return paper_html(
        Paper(f"{_title(made)}, with what it rests on", _lines(made), [listed, terms],
              NOTES, warning(made)),
        is_sample=made.is_sample,
    )  # fmt: skip


HEADS = (
    "Repair", "Now", "New price", "95% range", "No missing part", "Jobs", "May decline", "Status",
)  # fmt: skip
NOTES = (
    LAW,
    "Now: the approved price, else the median charge. 95% range: from the planned minutes. "
    "No missing part: if no job were sent away for want of a part. May decline: share of today's "
    "customers who may decline the new price before it earns less than the present one, while "
    "technicians' hours are paid either way and who declines pays the call.",
)


def _row(row: Row, made: PriceList) -> list[str]:
    return [
        row.label + (f" ({row.models})" if row.models else ""),
        words.money(row.price_now, made.currency),
        words.money(row.proposed_rate, made.currency),
        range_words(row, made.currency),
        words.money(row.rate_at_hand, made.currency),
        words.number(row.jobs),
        decline_words(row.may_decline),
        status(row),
    ]


def range_words(row: Row, currency: str | None) -> str:
    """Write the range of a proposed rate: "$240–$310"."""
    if words.is_missing(row.low) or words.is_missing(row.high):
        return words.MISSING
    return f"{words.money(row.low, currency)}–{words.money(row.high, currency)}"


def status(row: Row) -> str:
    """Say whether a price is approved, and what to know of it."""
    state = f"approved, from {words.day(row.effective_on)}" if row.is_approved else "proposed"
    moved = ""
    if not words.is_missing(row.drift) and abs(row.drift) >= LEAST_DRIFT:
        way = "dearer" if row.drift > 0 else "cheaper"
        moved = f"parts {words.percent(abs(row.drift))} {way} since"
    return "; ".join(filter(None, (state, moved, row.note)))


def decline_words(share: float | None) -> str:
    """Write who may decline a raise, or how many more must accept a cut."""
    if words.is_missing(share):
        return words.MISSING
    return words.percent(share) if share >= 0 else f"{words.percent(-share)} more must accept"


def _title(made: PriceList) -> str:
    return f"{made.shop}: price list" if made.shop else "Price list"


def _lines(made: PriceList) -> list[str]:
    currency = made.currency or "currency not recorded"
    return [
        f"Of {made.scope}. {currency}. Proposed prices from {words.day(made.effective_on)}. "
        f"Data through {words.day(made.as_of)}.",
        f"{words.counted(len(made.rows), 'price')}, of which {int(made.rows['is_approved'].sum())} "
        "approved.",
    ]


def customers_html(made: PriceList) -> str:
    """Return the approved prices alone, without cost or margin: what a customer may be shown.

    Prices that are not approved are left out, and a filtered list says so.
    """
    approved = made.rows[made.rows["is_approved"]]
    rows = [
        [
            row.label + (f" ({row.models})" if row.models else ""),
            words.money(row.approved_price, made.currency, is_unit_price=True),
            words.day(row.effective_on),
        ]
        for row in each_row(approved)
    ]
    fee = words.money(made.terms.call_fee, made.currency, is_unit_price=True)
    title = "Prices include parts, labor and travel"
    lines = [
        f"{made.currency or 'Currency not recorded'}. Return free of charge within "
        f"{words.counted(made.terms.warranty_days, 'day')} of the repair.",
        f"Diagnosis without a repair: {fee}.",
    ]
    if not rows:
        lines.append("No price is approved yet.")
    table = PaperTable(title, ["Repair", "Price", "From"], rows, frozenset((1,)))
    return paper_html(
        Paper(_title(made), lines, [table] if rows else [], [LAW], warning(made)),
        is_sample=made.is_sample,
    )


def history_table(made_steps: Sequence[Any], labels: Labels) -> pd.DataFrame:
    """Return approvals and undos as a table, newest first."""
    return pd.DataFrame(
        [
            (
                step.written_at.strftime("%Y-%m-%d %H:%M UTC"),
                step.role,
                "approved" if step.action == "approve" else "undone",
                labels.of("repair_code", step.repair_code, step.appliance_kind)
                + ", "
                + labels.of("appliance_kind", step.appliance_kind)
                + (f", {step.side} models" if step.side else ""),
                step.old_price,
                step.price,
                step.effective_on,
            )
            for step in reversed(made_steps)
        ],
        columns=["at", "role", "what", "label", "old_price", "price", "effective_on"],
    )
