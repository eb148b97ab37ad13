"""Within the normal range or not, in words: verdicts of groups, months, curves and parts."""

import pandas as pd

from dashboard.rows import Row, each_row
from dashboard.text.format import is_missing, listed, percent

VERDICTS = {  # what a count says against the one expected of the same jobs
    "inside": "within normal range",
    "look": "worth a look",
    "different": "different from the rest",
    "too few": "too few jobs to say",
    "not compared": "nobody else to compare with",
}

SIGNALS = {  # rules of the chart of months
    "a point beyond 3 sigma": "well outside normal",
    "9 in a row on one side": "the 9th month in a row on this side of the usual",
    "2 of 3 beyond 2 sigma": "the second month of three far from the usual",
    "6 in a row rising or falling": "the 6th month in a row that rises or falls",
}


def verdict(funnel: str | None) -> str:
    """Write where a group lies in the funnel; a missing verdict as a dash."""
    return "–" if is_missing(funnel) else VERDICTS[funnel]


def groups(table: pd.DataFrame, noun: str) -> str:
    """Say in one sentence which groups differ from the rest of the shop; no order of merit."""
    judged = table[table["funnel"].notna()]
    if len(judged) < 2:
        return f"Fewer than two {noun}s have jobs past the callback window: nothing to compare."
    parts = []
    for funnel, words in (("different", "Different from the rest"), ("look", "Worth a look")):
        found = judged[judged["funnel"] == funnel]
        names = [f"{row.label} {percent(row.judged_rate)}" for row in each_row(found)]
        if names:
            parts.append(f"{words}: {listed(names)}")
    if not parts:
        return f"All {len(judged)} {noun}s are within the normal range."
    inside = int((judged["funnel"] == "inside").sum())
    rest = f" The other {inside} are within the normal range." if inside else ""
    return f"{'. '.join(parts)}.{rest}"


def month_verdict(row: Row) -> str:
    """Write the verdict of a month alone: its signals, or that there is none."""
    if row.mature == 0:
        return "closed too recently"
    if is_missing(row.centre):
        return "no other month to compare with"
    if not row.signals:
        return "within normal range"
    return ", ".join(SIGNALS[name] for name in row.signals.split("; "))


def chance(p_value: float | None) -> str:
    """Write a p value as an owner reads it: "fewer than 1 in 1,000", "1 in 24"."""
    if is_missing(p_value):
        return "–"
    if p_value < 0.001:
        return "fewer than 1 in 1,000"
    if p_value > 0.5:
        return "more than 1 in 2"
    return f"about 1 in {round(1 / p_value):,}"
