"""No fault found and intermittent: how often, on what, does it come back, was it measured?"""

import pandas as pd
import streamlit as st

from dashboard.diagnosis.no_fault_sentences import (
    measured_words,
    no_fault_paper,
    prepared_groups,
    return_words,
    share_words,
)
from dashboard.rows import each_row
from dashboard.text import format as words
from dashboard.text.cautions import dangers
from dashboard.text.paper import paper_html
from dashboard.ui import columns, job_table, shell, widgets
from dashboard.ui.page import Page

GROUPS = {"symptom": "Complaint", "appliance_kind": "Appliance", "technician": "Technician"}
LISTS = {
    "no_fault": "no fault found",
    "came_back": "came back",
    "not_measured": "nothing measured",
    "unstable_jobs": "reading came and went",
}


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin("How often do we find nothing, and does it come back?")
    window = page.settings["callback_window_days"]
    whole = page.measure("no_fault_found")
    if whole.empty:
        st.info("No closed complaint matches these filters. Widen the dates or remove a filter.")
        st.stop()
    row = whole.iloc[0]
    for text in (share_words(row), return_words(row, window), measured_words(row)):
        st.markdown(text)
    by = st.segmented_control(
        "By", list(GROUPS), default="symptom", format_func=GROUPS.__getitem__, key="by",
        bind="query-params", required=True,
    )  # fmt: skip
    groups = prepared_groups(page.measure("no_fault_found", group_by=by), by, page.labels)
    jobs_of(page, by, listed(groups, by), row)
    measured(page)
    widgets.offer(
        "Print (HTML)",
        lambda: paper_html(
            no_fault_paper(row, groups, GROUPS[by], page.filters, page.labels, window),
            is_sample=page.is_sample,
        ),
        "no_fault_found.html",
        "text/html",
        key="paper",
    )
    widgets.how_counted("no_fault_found")


def listed(groups: pd.DataFrame, by: str) -> str | None:
    """List the groups; return the one that was clicked."""
    shown = {
        "label": columns.text(GROUPS[by]),
        "no_fault": columns.count("No fault found"),
        "jobs": columns.count("Of jobs"),
        "share_words": columns.text("Share (95% range)"),
        "back": columns.text("Came back"),
    }
    row = widgets.clicked_row(groups, shown, f"groups_{by}")
    st.caption("Click a row to see its jobs below. Small numbers vary by chance.")
    only_shown = ["label", "range", "share_words", "back"]
    widgets.download(groups, "no_fault_found", shown, only_shown)
    return None if row is None else str(groups["group"].iloc[row])


def jobs_of(page: Page, by: str, group: str | None, row: pd.Series) -> None:
    """List the jobs behind the numbers, all or of one group."""
    st.subheader("The jobs" if group is None else f"The jobs: {page.labels.of(by, group)}")
    which = st.segmented_control(
        "Show", list(LISTS), default="no_fault", format_func=LISTS.__getitem__, key="which",
        bind="query-params", required=True,
    )  # fmt: skip
    jobs = page.rows("no_fault_jobs", which=which, group_by=by, group_value=group)
    job_table.show(jobs, page.labels, "no fault found", "no_fault_jobs")


def measured(page: Page) -> None:
    """List what was measured on the jobs on which no fault was found."""
    tests = page.rows("no_fault_tests")
    if tests.empty:
        return
    st.subheader("What was measured")
    kinds = tests["appliance_kind"]
    named = tests.assign(
        point=page.labels.column("test_point", tests["test_point"], kinds),
        kind=page.labels.column("appliance_kind", kinds, kinds),
        measured=[f"{r.jobs:,} of {words.counted(r.kind_jobs, 'job')}" for r in each_row(tests)],
    )
    shown = {
        "kind": columns.text("Appliance"),
        "point": columns.text("Test"),
        "measured": columns.text("Measured on"),
        "outside": columns.count("Outside", help="a reading outside the limits, yet no fault"),
        "inside": columns.count("Inside"),
    }
    widgets.table(named, shown)
    outside = int(tests["outside"].sum())
    if outside:
        st.caption(
            f"{words.counted(outside, 'test')} read outside limits although no fault was found: "
            "worth a look."
        )
    widgets.show_dangers(dangers((), tests["test_point"]))


if __name__ == "__main__":
    shell.show(draw)
