"""The owner's month: how it was, why, what to do next; any two periods compared; on paper."""

from typing import Any

import pandas as pd
import streamlit as st

from dashboard.month.figures import Figure
from dashboard.month.load import default_month, month_html, month_review, months_of
from dashboard.month.review import MonthReview
from dashboard.text import format as words
from dashboard.text.escape_markdown import verbatim
from dashboard.ui import navigation, shell, widgets
from dashboard.ui.job_table import opening
from dashboard.ui.page import Page
from dashboard.views.sections.compare_periods import compare_periods
from dashboard.views.sections.month_by_month import month_by_month
from dashboard.views.sections.month_why import why
from dashboard.views.sections.offer_paper import offer_paper

MONTH = "month"
CARDS_A_ROW = 3


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin("How was the month, and why?")
    months = months_of(page.snapshot, page.filters)
    if not months:
        st.info("No closed job is in this filter. Remove a filter.")
        st.stop()
    month = chosen_month(page, months)
    found = month_review(page.snapshot, month, page.filters)
    st.markdown(f"#### {verbatim(found.headline)}")
    for line in found.targets:
        st.markdown(verbatim(line))
    cards(found)
    why(page, found)
    what_to_do(found)
    month_by_month(page, found)
    compare_periods(page, month)
    print_or_share(page, month)


def chosen_month(page: Page, months: list[str]) -> str:
    """Let the reader choose a month; it is a parameter of the address."""
    names = {month: words.month(month) for month in months[::-1]}
    wanted = st.query_params.get(MONTH)
    if wanted in names:  # an address such as ?month=2026-03: the selection writes "March 2026"
        navigation.go("month", month=names[wanted])
    if wanted and wanted not in names.values():
        st.warning(verbatim(f"This link asks for the month “{wanted}”; it has no closed job."))
    best = default_month(page.snapshot, months, page.filters)
    return st.selectbox(
        "Month",
        list(names),
        index=list(names).index(best),
        format_func=lambda month: names[month],
        key=MONTH,
        bind="query-params",
        help="Opens on the newest month with enough repairs past the callback window.",
    )


def cards(found: MonthReview) -> None:
    """Show the six figures, each with its normal range and twelve months of history."""
    for start in range(0, len(found.figures), CARDS_A_ROW):
        for place, figure in zip(
            st.columns(CARDS_A_ROW), found.figures[start : start + CARDS_A_ROW], strict=True
        ):
            with place:
                card(figure)
    open_month = "" if found.is_complete else " The month is not complete: its sums will grow."
    st.caption(
        f"Arrows compare with the usual value; the line shows twelve months. {found.counted}"
        f"{open_month}"
    )


def card(figure: Figure) -> None:
    """Show one figure; its arrow has a color only outside the normal range."""
    is_outside = figure.verdict.endswith(" normal range") and not figure.verdict.startswith(
        "within"
    )
    colors: dict[int, Any] = {1: "normal", -1: "inverse", 0: "off"}
    arrows: dict[int, Any] = {1: "up", -1: "down", 0: "off"}
    history = [value for _, value in figure.history]
    st.metric(
        figure.name,
        verbatim(figure.shown),
        delta=figure.change.replace(words.MINUS, "-") or None,
        delta_color=colors[figure.better] if is_outside else "off",
        delta_arrow=arrows[figure.direction],
        delta_description=f"usual {verbatim(figure.usual_shown)}" if figure.change else None,
        border=True,
        chart_data=history if len(history) > 1 else None,
    )
    basis = f" {figure.basis}." if figure.basis else ""
    has_range = figure.range_shown.strip(" –") != ""
    limits = f" ({figure.range_shown})" if has_range else ""
    st.caption(verbatim(f"{words.capitalized(figure.verdict)}{limits}.{basis}"))


def what_to_do(found: MonthReview) -> None:
    """List what to do next, each with its reason and all its jobs."""
    st.subheader("What to do next")
    if not found.actions:
        st.markdown("Nothing in these records asks for an action.")
    for place, action in enumerate(found.actions, start=1):
        again = " *Same as last month.*" if action.is_again else ""
        st.markdown(f"{place}. **{verbatim(action.title)}.**{again} {verbatim(action.reason)}")
        if action.jobs:
            with st.expander(f"The {words.counted(len(action.jobs), 'job')}"):
                jobs = pd.DataFrame({"job_id": list(action.jobs)})
                columns = {"job_id": st.column_config.TextColumn("Job")}
                st.caption("Click a job to open it.")
                opening(jobs, columns, "the month", f"action_{place}")
    st.markdown(verbatim(found.not_written))


def print_or_share(page: Page, month: str) -> None:
    """Offer the month as a file."""
    st.subheader("Print or share")
    offer_paper(
        "Download month",
        lambda: month_html(page.snapshot, month, page.filters),
        f"month_{month}",
    )
    widgets.show_cautions("records", "local_law")
    widgets.how_counted("month_review")
    widgets.how_counted("month_reasons")


if __name__ == "__main__":
    shell.show(draw)
