"""Profit per hour: which appliances, brands and repairs pay for a technician's time?"""

import pandas as pd
import streamlit as st

from dashboard.database.query import run
from dashboard.pricing.charts import per_hour
from dashboard.pricing.profit_groups import BRAND, grouped_jobs
from dashboard.pricing.profit_paper import named_groups, profit_paper
from dashboard.pricing.sentences import per_hour_words
from dashboard.rows import Row, each_row
from dashboard.text import format as words
from dashboard.text.paper import paper_html
from dashboard.ui import columns, job_table, shell, widgets
from dashboard.ui.page import Page

GROUPS = {"appliance_kind": "Appliance", BRAND: "Brand", "repair_code": "Repair"}
MOST_DRAWN = 25
LEAST_JOBS = 10


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin("Which work pays for a technician's time?")
    by = st.segmented_control(
        "By", list(GROUPS), default="appliance_kind", format_func=GROUPS.__getitem__, key="by",
        bind="query-params", required=True,
    )  # fmt: skip
    table = page.measure("profit_per_hour", group_by=by)
    if table["jobs"].sum() == 0:
        st.info(
            "**Cannot be said:** no completed repair in these filters has its minutes, part costs "
            "and charge recorded."
        )
        st.stop()
    table = named_groups(table, by, page.labels, page.currency)
    st.markdown(per_hour_words(table, LEAST_JOBS, page.currency))
    st.caption(
        f"Of {words.counted(int(table[['jobs', 'unknown_jobs']].sum().sum()), 'completed repair')},"
        f" {table['unknown_jobs'].sum():,} are left out: minutes, part costs or charge not "
        "recorded. Hours are those on the job and on the road, returns under warranty included. "
        "Diagnoses that customers declined are not in it."
    )
    key = drawn(table, page.currency)
    row = in_full(table, by, page.currency)
    key = row if row is not None else key
    if key is not None:
        row_of: Row = table.set_index("key", drop=False).loc[key]
        jobs_of(page, by, row_of)
    widgets.offer(
        "Print (HTML)",
        lambda: paper_html(
            profit_paper(table, GROUPS[by], page.filters, page.labels, page.currency),
            is_sample=page.is_sample,
        ),
        f"profit_per_hour_{by}.html",
        "text/html",
        key="paper",
    )  # fmt: skip
    widgets.how_counted("profit_per_hour")


def drawn(table: pd.DataFrame, currency: str | None) -> str | None:
    """Draw the groups; return the key of the one that was clicked."""
    enough = table[(table["jobs"] >= LEAST_JOBS) & table["low"].notna()].head(MOST_DRAWN)
    if enough.empty:
        return None
    left_out = len(table) - len(enough)
    event = widgets.chart(
        per_hour(enough, currency),
        alt="Profit per hour: "
        + "; ".join(
            f"{r.label} {words.money(r.profit_per_hour, currency)} ({r.range})"
            for r in each_row(enough)
        ),
        key="per_hour",
        title=f"Least first: {enough['label'].iloc[0]}, "
        f"{words.money(enough['profit_per_hour'].iloc[0], currency)} an hour.",
        on_select="rerun",
        selection_mode="points",
    )
    if left_out:
        more = "One more is" if left_out == 1 else f"{left_out:,} more are"
        st.caption(f"{more} in the table below (few jobs, or higher profit).")
    return widgets.clicked(event)


def in_full(table: pd.DataFrame, by: str, currency: str | None) -> str | None:
    """List the groups; return the key of the row that was clicked."""
    shown = {
        "label": columns.text(GROUPS[by]),
        "profit_per_hour": columns.money("Profit per hour", currency, is_unit_price=True),
        "range": columns.text("95% range"),
        "jobs": columns.count("Jobs"),
        "hours": columns.count("Hours"),
        "profit": columns.money("Profit", currency),
    }
    row = widgets.clicked_row(table, shown, f"groups_{by}")
    st.caption("Click a dot or a row to see its jobs.")
    widgets.download(table, "profit_per_hour", shown, ["key", "label", "range"])
    return None if row is None else str(table["key"].iloc[row])


def jobs_of(page: Page, by: str, row: pd.Series) -> None:
    """List the jobs of one group; a row opens its job."""
    asked = {**page.settings, "group_by": by}
    jobs = grouped_jobs(
        run(page.snapshot, "measures/profit_per_hour", page.filters, **asked),
        run(page.snapshot, "measures/flat_rate", page.filters, **page.settings),
        asked,
    )
    own = jobs[(jobs["group"] == row.group) & (jobs["kind"] == (row.appliance_kind or ""))]
    own = own[own["profit"].notna()].iloc[::-1]
    shown = {
        "job_id": columns.text("Job"),
        "closed_on": columns.day("Closed"),
        "hours": columns.count("Hours", 1),
        "charged": columns.money("Charged", page.currency),
        "cost": columns.money("Cost", page.currency),
        "profit": columns.money("Profit", page.currency),
    }
    st.subheader(f"{words.counted(len(own), 'job')}: {row.label}")
    job_table.opening(own.head(widgets.LISTED), shown, "profit per hour", "profit_jobs")


if __name__ == "__main__":
    shell.show(draw)
