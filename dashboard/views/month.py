"""The owner's month: what changed, whether it is more than chance, what it cost, what to do."""

import pandas as pd
import streamlit as st

from dashboard.fairness import charts as charts_fairness
from dashboard.month import pdf
from dashboard.month.actions import REASONS
from dashboard.month.load import month_html, month_review, months_of, newest_told
from dashboard.month.review import MonthReview
from dashboard.text import format as words
from dashboard.text.escape_markdown import verbatim
from dashboard.ui import shell, widgets
from dashboard.ui.job_table import opening
from dashboard.ui.page import Page


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin("How was the month?")
    months = months_of(page.snapshot, page.filters)
    if not months:
        st.info("No closed job is in this filter. Clear a filter at the left.")
        st.stop()
    best = newest_told(page.snapshot, months, page.filters)
    month = st.selectbox(
        "Month",
        months[::-1],
        index=months[::-1].index(best),
        key="month",
        bind="query-params",
        help="The newest months have repairs too young to tell whether they held.",
    )
    found = month_review(page.snapshot, month, page.filters)
    st.markdown(f"**{found.headline}**")
    st.caption(found.left_out)
    what_to_do(found)
    what_changed(page, found)
    costs(found)
    under_cost(found)
    on_paper(page, month)


def what_to_do(found: MonthReview) -> None:
    """List what to do next, each with its reason and its jobs."""
    st.subheader("What to do next")
    if not found.actions:
        st.markdown("Nothing in these records asks for an action.")
    for place, action in enumerate(found.actions, start=1):
        st.markdown(f"{place}. **{verbatim(action.title)}.** {action.reason}")
        if action.jobs:
            with st.expander(f"The jobs behind it ({len(action.jobs)})"):
                jobs = pd.DataFrame({"job_id": list(action.jobs)})
                opening(
                    jobs,
                    {"job_id": st.column_config.TextColumn("Job")},
                    "the month",
                    f"action_{place}",
                )


def what_changed(page: Page, found: MonthReview) -> None:
    """List the figures against the months before, and draw the months."""
    st.subheader("What changed")
    widgets.table(
        pd.DataFrame(
            [
                {
                    "Figure": change.name,
                    "This month": change.now,
                    "12 months before": change.before,
                    "More than chance?": change.verdict,
                }
                for change in found.changes
            ]
        )
    )
    known = found.signals[found.signals["mature"] > 0]
    if not known.empty:
        widgets.chart(
            charts_fairness.month_signals(found.signals, page.settings["min_jobs"]),
            alt=f"First-time fix by month with its limits. {found.headline}",
            key="signals",
        )


def costs(found: MonthReview) -> None:
    """Say what wrong diagnoses and further trips cost."""
    left, right = st.columns(2)
    with left:
        st.subheader("What wrong diagnoses cost")
        for cost in found.patterns:
            st.markdown(f"- **{cost.name}**: {cost.told}.")
        if not found.patterns:
            st.caption("None that these records show.")
    with right:
        st.subheader("Why we drove twice")
        for row in found.repeats.sort_values("visits", ascending=False).itertuples():
            st.markdown(
                f"- {words.counted(row.visits, 'visit')} because {REASONS[row.reason]} "
                f"({words.percent(row.share)})"
            )
        if found.repeats.empty:
            st.caption("No further visit in this month, or visits are not recorded.")


def under_cost(found: MonthReview) -> None:
    """List the repairs priced under cost."""
    st.subheader("Priced under cost")
    if found.under_cost.empty:
        st.caption("None in the last twelve months, or prices are not recorded.")
    else:
        widgets.table(
            found.under_cost.assign(lost=-found.under_cost["result_now"]),
            {
                "label": st.column_config.TextColumn("Repair", width="large"),
                "jobs": st.column_config.NumberColumn("Jobs in 12 months"),
                "median_charged": st.column_config.NumberColumn("Median charge", format="%.0f"),
                "cost_to_serve": st.column_config.NumberColumn("Cost to serve", format="%.0f"),
                "proposed_rate": st.column_config.NumberColumn("Proposed", format="%.0f"),
                "lost": st.column_config.NumberColumn("Lost in 12 months", format="%.0f"),
            },
        )


def on_paper(page: Page, month: str) -> None:
    """Offer the month as a file."""
    st.subheader("On paper")
    one, two, _ = st.columns([1, 1, 2])
    with one:
        widgets.offer(
            "The month as a file (HTML)",
            lambda: month_html(page.snapshot, month, page.filters),
            f"month_{month}.html",
            "text/html",
            width="stretch",
        )
    if pdf.browser():
        with two:
            widgets.offer(
                "The month as PDF",
                lambda: pdf.pdf_of(month_html(page.snapshot, month, page.filters)),
                f"month_{month}.pdf",
                "application/pdf",
                width="stretch",
            )
    else:
        two.caption("For a PDF, print the file from a browser.")
    widgets.show_cautions("records", "local_law")
    widgets.how_counted("month_review")


if __name__ == "__main__":
    shell.show(draw)
