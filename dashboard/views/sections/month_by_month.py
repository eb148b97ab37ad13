"""Month by month: is a month different, or is it chance?"""

import pandas as pd
import streamlit as st

from dashboard.fairness import charts as charts_fairness
from dashboard.fairness import sentences as fairness_words
from dashboard.month.review import MonthReview
from dashboard.rows import each_row
from dashboard.text import format as words
from dashboard.text.escape_markdown import verbatim
from dashboard.ui import navigation, widgets
from dashboard.ui.page import Page

COLUMN = st.column_config
SHOWN = {
    "month": COLUMN.TextColumn("Month"),
    "rate": COLUMN.NumberColumn("First-time fix", format="percent"),
    "range": COLUMN.TextColumn("Normal range"),
    "mature": COLUMN.NumberColumn("Jobs counted"),
    "pending": COLUMN.NumberColumn("Closed too recently"),
    "verdict": COLUMN.TextColumn("Real change?"),
}


def month_by_month(page: Page, found: MonthReview) -> None:
    """Draw first-time fix month by month between its limits, and list the months."""
    st.subheader("Month by month")
    months = found.signals
    if not (months["mature"] > 0).any():
        st.caption(
            "First-time fix cannot be said for any month: no repair on a known appliance and with "
            "recorded visits is past the callback window."
        )
        return
    finding = different(months)
    event = widgets.chart(
        charts_fairness.month_signals(months, page.settings["min_jobs"], found.marks),
        alt=f"First-time fix by month with its normal range. {finding}",
        key="signals",
        title=finding,
        on_select="rerun",
        selection_mode="points",
    )
    open_month(widgets.clicked(event), "chart")
    for day, what in found.marks:
        st.caption(verbatim(f"Dotted line, {words.day(day)}: {what}"))
    st.caption(f"Click a month to open it. Faded: fewer than {page.settings['min_jobs']} jobs.")
    with st.expander("Details: every month, and how it is judged"):
        details(months)


def open_month(month: str | None, source: str) -> None:
    """Show a month, given as "2026-03", once for each click in `source`."""
    noted = f"month_from_{source}"
    is_new = month is not None and month != st.session_state.get(noted)
    st.session_state[noted] = month
    if month is not None and is_new:
        navigation.go("month", month=words.month(month))


def details(months: pd.DataFrame) -> None:
    """List the months, the rules and what the limits rest on."""
    listed = months.assign(
        verdict=[fairness_words.month_verdict(row) for row in each_row(months)],
        range=[words.percent_range(r.lower_3s, r.upper_3s) for r in each_row(months)],
    )
    listed = listed.iloc[::-1]
    row = widgets.clicked_row(listed, SHOWN, "month_rows")
    open_month(None if row is None else str(listed["month"].iloc[row]), "row")
    st.caption(spread(months))
    st.caption(
        "A month differs if it is beyond 3 sigma and farther out than 0.135% of months would be "
        "by chance; if it is the 9th in a row on one side; the 6th in a row rising or falling; or "
        "the second of 3 beyond 2 sigma on one side. By chance alone, the first happens in at "
        "most about 1 of 370 months, each of the others in about 1 of 250 to 360."
    )
    widgets.download(months, "month_signals")
    widgets.how_counted("month_signals")


def different(months: pd.DataFrame) -> str:
    """Say which months differ by more than chance."""
    known = months[months["mature"] > 0]
    fired = known[known["signals"].fillna("") != ""]
    if fired.empty:
        return f"None of {words.counted(len(known), 'month')} differs by more than chance."
    names = words.listed([words.month(each) for each in fired["month"]])
    verb = "differs" if len(fired) == 1 else "differ"
    return f"Of {words.counted(len(known), 'month')}, {names} {verb} by more than chance."


def spread(months: pd.DataFrame) -> str:
    """Say what the limits rest on."""
    known = months[months["mature"] > 0]
    baseline = known[known["is_baseline"].astype(bool)]
    if baseline.empty:
        return ""
    finding = (
        f"The usual value comes from {words.counted(len(baseline), 'month')} "
        f"({words.month(baseline['month'].iloc[0])} to {words.month(baseline['month'].iloc[-1])}, "
        "the month itself left out). "
    )
    sigma_z = known["sigma_z"].iloc[-1]
    if words.is_missing(sigma_z):
        return finding + "With fewer than 12 months the limits allow for chance only."
    if sigma_z > 1:
        return finding + (
            f"These months vary {sigma_z:.2f} times as much as chance would make them; "
            "the limits are widened to match."
        )
    return finding + "These months vary no more than chance would make them."
