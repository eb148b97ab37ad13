"""Season: which complaints come in which months, for planning staff."""

import pandas as pd
import streamlit as st

from dashboard.month.season_charts import by_month
from dashboard.month.season_sentences import (
    MONTHS,
    peaks,
    range_words,
    season_paper,
    season_words,
)
from dashboard.rows import each_row
from dashboard.text import format as words
from dashboard.text.paper import paper_html
from dashboard.ui import columns, job_table, shell, widgets
from dashboard.ui.page import Page

ALL_CALLS = "all/all"
SEASONS = {
    "peak_words": columns.text("Busiest month"),
    "expected_calls": columns.count(
        "Calls then", 1, help="at last year's number of calls, in the busiest month"
    ),
    "expected_hours": columns.count(
        "Hours then", help="on the job and on the road, in the busiest month"
    ),
}


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin("When do which calls come?")
    table = page.measure("season")
    if table.empty:
        st.info("**Cannot be said:** these records hold no whole month of calls in this filter.")
        widgets.how_counted("season")
        st.stop()
    st.markdown(season_words(table, page.labels))
    st.caption(
        f"Complaints by the month in which they were called in, {words.month(first(table))} to "
        f"{words.month(str(table['last_month'].iloc[0]))}."
    )
    listed = peaks(table, page.labels)
    key = chosen(listed)
    kind, symptom = key.split("/", 1)
    own = table[(table["appliance_kind"] == kind) & (table["symptom"] == symptom)]
    month = drawn(own.sort_values("month"), str(listed.set_index("key").loc[key, "label"]))
    jobs_of(page, own, month)
    widgets.offer(
        "Print (HTML)",
        lambda: paper_html(
            season_paper(table, page.filters, page.labels), is_sample=page.is_sample
        ),
        "season.html",
        "text/html",
        key="paper",
    )
    widgets.download(table, "season")
    widgets.how_counted("season")


def first(table: pd.DataFrame) -> str:
    """Return the first month counted."""
    return str(table["first_month"].iloc[0])


def chosen(listed: pd.DataFrame) -> str:
    """List the complaints; return the key of the one to draw."""
    listed = listed.assign(
        peak_words=[
            words.MISSING
            if words.is_missing(r.index)
            else f"{r.peak}, {r.index:.1f} × average ({r.range})"
            for r in each_row(listed)
        ]
    )
    shown: columns.Columns = {
        "label": columns.text("Complaint"),
        "total": columns.count("Calls"),
    }
    if listed["index"].notna().any():
        shown = {**shown, **SEASONS}
    row = widgets.clicked_row(listed, shown, "seasons")
    st.caption("Click a row to draw its months.")
    if row is not None:
        st.session_state["season"] = listed["key"].iloc[row]
    wanted = st.session_state.get("season", ALL_CALLS)
    return str(wanted) if wanted in set(listed["key"]) else str(listed["key"].iloc[0])


def drawn(rows: pd.DataFrame, label: str) -> str | None:
    """Draw the months of one complaint; return the month that was clicked, as "07"."""
    names = [name[:3] for name in MONTHS]
    event = widgets.chart(
        by_month(rows, names),
        alt=f"{label}: "
        + "; ".join(
            f"{MONTHS[r['month'] - 1]} {words.counted(r['calls'], 'call')} ({range_words(r)})"
            for _, r in rows.iterrows()
        ),
        key="months",
        title=f"{label}: {words.counted(int(rows['calls'].sum()), 'call')}. Click a bar for its "
        "calls.",
        on_select="rerun",
        selection_mode="points",
    )
    month = widgets.clicked(event)
    return f"{int(month):02d}" if month else None


def jobs_of(page: Page, rows: pd.DataFrame, month: str | None) -> None:
    """List the calls behind the chart, all or of one calendar month."""
    kind, symptom = rows["appliance_kind"].iloc[0], rows["symptom"].iloc[0]
    jobs = page.rows(
        "season_jobs",
        kind=None if kind == "all" else kind,
        complaint=None if symptom == "all" else symptom,
        calendar_month=month,
        first_month=first(rows),
        last_month=str(rows["last_month"].iloc[0]),
    )
    name = f" in {MONTHS[int(month) - 1]}" if month else ""
    with st.expander(f"{words.counted(len(jobs), 'call')}{name}", expanded=month is not None):
        job_table.show(jobs, page.labels, "the season", "season_jobs")


if __name__ == "__main__":
    shell.show(draw)
