"""First-time fix: how many repairs were done on the first visit and did not come back?"""

import pandas as pd
import streamlit as st

from dashboard.fairness import charts
from dashboard.rows import Row
from dashboard.text import format as words
from dashboard.ui import columns, navigation, shell, widgets
from dashboard.ui.page import Page
from dashboard.views.sections import group_comparison
from dashboard.views.sections.outcomes_by_kind import outcomes_by_kind

REASONS = {
    "reason_label": columns.text("Closed jobs"),
    "jobs": columns.count("Jobs"),
}


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin("Do we fix it the first time?")
    rows = page.measure("first_time_fix")
    if rows.empty:
        st.info("No repaired job matches these filters. Widen the dates or remove a filter.")
        st.stop()
    row: Row = rows.iloc[0]
    st.markdown(answer(row, page.snapshot.window_days))
    st.caption(not_counted(row))
    if row.mature:
        not_fixed = words.counted(row.mature - row.fixed_first_time, "job")
        if st.button(f"See the {not_fixed} not fixed first time", icon=":material/list:"):
            navigation.go("jobs", list="not_fixed")
        months(page)
    else:
        outcomes_by_kind(page)
    group_comparison.compare(page)
    who_is_counted(page)
    widgets.how_counted("first_time_fix")


def answer(row: Row, window: int) -> str:
    """Say the headline in words."""
    if not row.mature:
        return (
            "**Cannot be said yet:** no repair in these records is past the "
            f"{window}-day window, on a known appliance and with its visits recorded."
        )
    found = words.rate(row.fixed_first_time, row.mature, row.low, row.high)
    return f"**{found}, were fixed on the first visit** and did not come back within {window} days."


def not_counted(row: Row) -> str:
    """Say what is not in the rate, and the rate before any return."""
    text = (
        f"Not counted: {words.counted(row.pending, 'job')} closed too recently, "
        f"{row.visits_unknown:,} without recorded visits, and "
        f"{row.left_out - row.visits_unknown:,} more on an unknown appliance, where a return "
        "cannot be seen."
    )
    with_visits = row.repaired - row.visits_unknown
    if with_visits:
        text += (
            f" Finished on the first visit, whatever came later: {row.one_visit:,} of "
            f"{with_visits:,} ({words.percent(row.one_visit / with_visits)})."
        )
    return text


def months(page: Page) -> None:
    """Draw the months between their normal limits; a click opens a month's jobs."""
    table = page.measure("month_signals")
    known = table[table["mature"] >= page.settings["min_jobs"]]
    if len(known) < 2:
        return
    st.subheader("Month by month")
    finding = best_and_worst(known)
    event = widgets.chart(
        charts.month_signals(table, page.settings["min_jobs"]),
        alt=f"First-time fix by month closed. {finding}",
        key="months",
        title=finding,
        on_select="rerun",
        selection_mode="points",
    )
    st.caption("Click a month to see its jobs. Faded months have too few jobs to judge.")
    if month := widgets.clicked(event):
        navigation.go("jobs", list="not_fixed", group_by="month", group=month)


def best_and_worst(known: pd.DataFrame) -> str:
    """Name the best and the worst month of those with enough jobs."""
    rates = known["rate"].to_numpy(float)
    worst, best = known.iloc[int(rates.argmin())], known.iloc[int(rates.argmax())]
    said = [
        f"{words.month(row.month)}, {words.percent(row.rate)} of {row.mature:,} jobs"
        for row in (worst, best)
    ]
    return f"Lowest: {said[0]}. Highest: {said[1]}."


def who_is_counted(page: Page) -> None:
    """Show every closed job under the reason why it is in the rate or not; a row opens its jobs."""
    with st.expander("Details: who is counted"):
        reasons = page.rows("exclusions")
        reasons["reason_label"] = [
            words.capitalized(page.labels.of("disposition", reason)) for reason in reasons["reason"]
        ]
        row = widgets.clicked_row(reasons, REASONS, "reasons")
        if row is not None:
            navigation.go("jobs", list="excluded", reason=reasons["reason"].iloc[row])


if __name__ == "__main__":
    shell.show(draw)
