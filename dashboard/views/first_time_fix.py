"""First-time fix: of the repairs old enough to tell, how many were done once and held?"""

import pandas as pd
import streamlit as st

from dashboard.charts import theme as charts
from dashboard.text import format as words
from dashboard.ui import job_table as job_list
from dashboard.ui import shell, widgets
from dashboard.ui.page import Page
from dashboard.views.sections import group_comparison as fair_groups

TITLE = "Do we fix it the first time?"


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin(TITLE)
    window = page.settings["callback_window_days"]

    rows = page.measure("first_time_fix")
    if rows.empty:
        st.info("No repaired job is in this filter. Widen the dates or clear a filter at the left.")
        st.stop()
    row = rows.iloc[0]
    st.markdown(answer(row, window))
    click = months(page) if row.mature else None
    st.subheader("Group by group, fairly")
    fair_groups.compare(page)
    jobs_behind(click, page, window)
    who_is_counted(page)
    widgets.how_counted("first_time_fix")


def answer(row: pd.Series, window: int) -> str:
    """Say the headline in words, with what is not in it."""
    told = words.rate(row.fixed_first_time, row.mature, row.low, row.high)
    lines = [
        f"**{told}** were fixed in one visit and did not come back within {window} days."
        if row.mature
        else "**Cannot be said yet:** no repair in these records is old enough, "
        "on a known unit and with its visits recorded."
    ]
    lines.append(
        f"Not in it: {row.pending:,} younger than {window} days (pending), "
        f"{row.unlinked:,} whose appliance is not known, so that a return could not be seen, and "
        f"{row.visits_unknown:,} without recorded visits."
    )
    with_visits = row.repaired - row.visits_unknown
    if with_visits:
        lines.append(
            f"Completed on the first visit, whatever came later: {row.one_visit:,} of "
            f"{with_visits:,} ({words.percent(row.one_visit / with_visits)})."
        )
    return "\n\n".join(lines)


def months(page: Page) -> str | None:
    """Draw the months and return the one that was clicked; the verdict on each has its own page."""
    table = page.measure("first_time_fix", group_by="month")
    table["is_few"] = table["mature"] < page.settings["min_jobs"]
    known = table[table["mature"] > 0]
    st.subheader("Month by month")
    event = widgets.chart(
        charts.rate_by_month(table, "first-time fix"),
        alt=f"First-time fix by month of closing, {len(known)} months, lowest "
        f"{words.percent(known['rate'].min())}, highest {words.percent(known['rate'].max())}.",
        key="months",
        on_select="rerun",
        selection_mode="points",
    )
    st.caption(
        "Whiskers are 95 % intervals; faded months have too few jobs old enough. Whether a month "
        "differs by more than chance is shown under “Is this month different?”."
    )
    return job_list.clicked(event, "x")


def jobs_behind(click: str | None, page: Page, window: int) -> None:
    """List the repairs that were not fixed the first time, of all months or of one."""
    st.subheader("The repairs that were not")
    names = page.measure("first_time_fix", group_by="month")["group"].tolist()
    month = job_list.choose("Month (or click one above)", names[::-1], click, "jobs_of_month")
    jobs = page.rows(
        "jobs",
        group_by="month",
        group_value=None if month == job_list.ALL else month,
        disposition="repaired",
    )
    is_fixed = (jobs["attended_visits"] == 1) & ~(jobs["callback_days"] <= window).fillna(False)
    job_list.show(jobs[jobs["attended_visits"].notna() & ~is_fixed.fillna(False)], page.labels)


def who_is_counted(page: Page) -> None:
    """Show every closed job of the filter under the reason why it is in the rate or not."""
    st.subheader("Who is counted")
    reasons = page.rows("exclusions")
    reasons["label"] = [page.labels.of("disposition", reason) for reason in reasons["reason"]]
    widgets.table(
        reasons,
        {
            "label": st.column_config.TextColumn("Closed jobs", width="large"),
            "jobs": st.column_config.NumberColumn("Jobs"),
        },
    )


if __name__ == "__main__":
    shell.show(draw)
