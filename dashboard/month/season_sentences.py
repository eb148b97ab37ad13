"""The season of complaints → text and a sheet to print."""

from typing import Any

import pandas as pd

from dashboard.database.filter_words import filter_words
from dashboard.database.labels import Labels
from dashboard.fairness.season import ALL
from dashboard.filters import Filters
from dashboard.rows import Row, each_row
from dashboard.text import format as words
from dashboard.text.escape_markdown import verbatim
from dashboard.text.paper import Paper, PaperTable

MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip
LEAST_MONTHS = 24


def label_of(kind: str, symptom: str, labels: Labels) -> str:
    """Write "room air conditioner: Not cooling", "room air conditioner", or "All calls"."""
    if kind == ALL:
        return "All calls"
    appliance = labels.of("appliance_kind", kind)
    return appliance if symptom == ALL else f"{appliance}: {labels.of('symptom', symptom, kind)}"


def peaks(table: pd.DataFrame, labels: Labels) -> pd.DataFrame:
    """Return one row per complaint: its calls, busiest month, index there with range; clear first.

    Columns key, label, appliance_kind, symptom, total, months, peak, index, range, seasonal.
    """
    found = [
        _peak(str(kind), str(symptom), rows, labels)
        for (kind, symptom), rows in table.groupby(["appliance_kind", "symptom"], sort=True)
    ]
    names = [
        "key", "label", "appliance_kind", "symptom", "total", "months", "peak", "index", "range",
        "expected_calls", "expected_hours", "q_value", "seasonal",
    ]  # fmt: skip
    return pd.DataFrame(found, columns=names).sort_values(
        ["seasonal", "index", "total", "key"], ascending=[False, False, False, True],
        ignore_index=True,
    )  # fmt: skip


def _peak(kind: str, symptom: str, rows: pd.DataFrame, labels: Labels) -> tuple[Any, ...]:
    known = rows[rows["index"].notna()].sort_values(["index", "month"], ascending=[False, True])
    top = None if known.empty else known.iloc[0]
    return (
        f"{kind}/{symptom}",
        label_of(kind, symptom, labels),
        kind,
        symptom,
        int(rows["calls"].sum()),
        int(rows["months"].iloc[0]),
        words.MISSING if top is None else MONTHS[int(top["month"]) - 1],
        None if top is None else float(top["index"]),
        range_words(top),
        None if top is None else float(top["expected_calls"]),
        None if top is None else float(top["expected_hours"]),
        rows["q_value"].iloc[0],
        bool(rows["seasonal"].iloc[0]),
    )


def range_words(row: Row) -> str:
    """Write the range of an index: "1.8–2.6"."""
    if row is None or words.is_missing(row["low"]):
        return words.MISSING
    return f"{row['low']:.1f}–{row['high']:.1f}"


def season_words(table: pd.DataFrame, labels: Labels) -> str:
    """Say which complaints have a season, or why it cannot be said."""
    months = int(table["months"].iloc[0])
    if months < LEAST_MONTHS:
        return (
            f"**These records cannot show a season yet:** they hold "
            f"{words.counted(months, 'whole month')}, and with fewer than {LEAST_MONTHS} one "
            "unusual month looks like a season. The average calls of each month are below."
        )
    own = peaks(table, labels)
    own = own[(own["appliance_kind"] != ALL) & (own["symptom"] != ALL)]
    clear = own[own["seasonal"]]
    tested = int(own["q_value"].notna().sum())
    if clear.empty:
        return (
            f"**No complaint has a clear season** in {months // 12} years, of {tested:,} with "
            "enough calls to ask."
        )
    lines = [
        f"- {verbatim(r.label)}: most in {r.peak}, {r.index:.1f} times an average month "
        f"(95% range {r.range}), {words.counted(r.total, 'call')}"
        for r in each_row(clear)
    ]
    head = (
        f"**{words.counted(len(clear), 'complaint')} of {tested:,} with enough calls "
        f"{'has' if len(clear) == 1 else 'have'} a season**, over {months // 12} years:"
    )
    return "\n".join([head, "", *lines[:8]])


def _means(rows: pd.DataFrame) -> pd.Series:
    """Write the mean calls of each month over the years in which it was counted."""
    return (rows["calls"] / rows["times"].where(rows["times"] > 0)).map(words.number)


def season_paper(table: pd.DataFrame, filters: Filters, labels: Labels) -> Paper:
    """Return calls by calendar month as a sheet: index where it can be said, else the counts."""
    filtered, months = filter_words(filters, labels), int(table["months"].iloc[0])
    is_known = months >= LEAST_MONTHS
    rows = []
    for row in each_row(peaks(table, labels)):
        own = table[(table["appliance_kind"] == row.appliance_kind)
                    & (table["symptom"] == row.symptom)].sort_values("month")  # fmt: skip
        cells = own["index"].map("{:.1f}".format) if is_known else _means(own)
        rows.append([row.label, words.number(row.total), *cells, row.range])
    heads = ["Complaint", "Calls", *(name[:3] for name in MONTHS), "Range of the busiest"]
    first, last = table["first_month"].iloc[0], table["last_month"].iloc[0]
    said = "Index by month: 1 = an average month" if is_known else "Mean calls by month"
    return Paper(
        "Calls by season",
        [
            f"Of {filtered or 'the whole shop'}; {words.month(first)} to {words.month(last)}, "
            f"{words.counted(months, 'whole month')}.",
            season_words(table, labels).split("\n")[0].replace("*", ""),
        ],
        [PaperTable(said, heads, rows, frozenset(range(1, 15)))],
        [],
        f"FILTERED: {filtered}" if filtered else None,
    )
