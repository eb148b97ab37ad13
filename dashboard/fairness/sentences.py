"""What chance alone would do, in words: verdicts of groups, months, curves and parts."""

import pandas as pd

from dashboard.text.escape_markdown import verbatim
from dashboard.text.format import counted, is_missing, listed, percent, percent_range

VERDICTS = {  # what a count says against the one expected of the same jobs
    "inside": "what chance alone produces",
    "look": "worth a look",
    "different": "different from the shop",
    "too few": "too few jobs to say",
}


def verdict(funnel: str | None) -> str:
    """Write where a group lies in the funnel; a missing verdict as a dash."""
    return "–" if is_missing(funnel) else VERDICTS[funnel]


def groups(table: pd.DataFrame, noun: str) -> str:
    """Say in one sentence who differs from the shop by more than chance; no order of merit."""
    judged = table[table["funnel"].notna()]
    if len(judged) < 2:
        return f"Fewer than two {noun}s have repairs old enough: nothing to compare."
    parts = []
    for funnel, words in (("different", "Different from the shop"), ("look", "Worth a look")):
        names = judged.loc[judged["funnel"] == funnel, "label"].tolist()
        if names:
            parts.append(f"{words}: {listed([verbatim(name) for name in names])}")
    if not parts:
        return f"All {len(judged)} {noun}s lie within **what chance alone produces**."
    inside = int((judged["funnel"] == "inside").sum())
    rest = f"The other {inside} lie within what chance alone produces." if inside else ""
    return f"**{'. '.join(parts)}.** {rest}"


def month(row: pd.Series, window_days: int, min_jobs: int) -> str:
    """Say of one month whether it differs from the baseline, and by which signal."""
    if row.mature == 0:
        return f"Not yet known: {counted(row.pending, 'job')} younger than {window_days} days."
    told = f"{row.fixed_first_time:,.0f} of {counted(row.mature, 'job')}, {percent(row.rate)}"
    if row.mature < min_jobs:
        told += ", too few jobs to say much"
    if row.pending:
        told += f", {row.pending:,.0f} still pending"
    if is_missing(row.centre):
        return f"{told}; no baseline to compare with."
    if not row.signals:
        return f"{told}: within normal variation ({percent_range(row.lower_3s, row.upper_3s)})."
    side = "above" if row.rate > row.centre else "below"
    return (
        f"{told}, {side} the baseline of {percent(row.centre)}: {row.signals} "
        f"(chance alone: {percent_range(row.lower_3s, row.upper_3s)})."
    )


def month_verdict(row: pd.Series) -> str:
    """Write the verdict of a month alone: its signals, or that there is none."""
    if row.mature == 0:
        return "not yet known"
    if is_missing(row.centre):
        return "no baseline"
    return row.signals or "within normal variation"


def chance(p_value: float | None) -> str:
    """Write a p value as an owner reads it: "fewer than 1 in 1,000", "1 in 24"."""
    if is_missing(p_value):
        return "–"
    if p_value < 0.001:
        return "fewer than 1 in 1,000"
    if p_value > 0.5:
        return "more than 1 in 2"
    return f"about 1 in {round(1 / p_value):,}"
