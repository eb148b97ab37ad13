"""Parts credit: which new parts were faulty, as a list to send to the supplier."""

import pandas as pd
import streamlit as st

from dashboard.callbacks.credit_sentences import (
    EVIDENCE,
    by_part,
    claims,
    credit_paper,
    credit_words,
    hint_words,
    hints,
    labelled,
)
from dashboard.rows import each_row
from dashboard.text.escape_markdown import verbatim
from dashboard.text.format import listed
from dashboard.text.paper import paper_html
from dashboard.ui import columns, job_table, shell, widgets
from dashboard.ui.page import Page


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin("Which new parts were faulty, and what is owed for them?")
    cases = page.measure("parts_credit")
    st.markdown(credit_words(cases, page.currency))
    early_parts(page)
    said = claims(cases)
    if not said.empty:
        chosen = parts(page, said, "credit_parts")
        st.caption("Click a part to see its cases only.")
        listed_cases(page, said, chosen, "credit_jobs")
    offers(page, cases)
    if not hints(cases).empty:
        st.subheader("Ask before you claim")
        st.markdown(hint_words(cases))
        chosen = parts(page, hints(cases), "hint_parts")
        with st.expander("The jobs", expanded=chosen is not None):
            listed_cases(page, hints(cases), chosen, "hint_jobs")
    widgets.how_counted("parts_credit")


def early_parts(page: Page) -> None:
    """Name the part numbers that come back more often than their alternatives."""
    table = page.measure("early_parts")
    flagged = sorted(set(table.loc[table["flagged"].astype(bool), "part_no"]))
    if flagged:
        names = listed([verbatim(number) for number in flagged])
        st.markdown(
            f"{names} also {'comes' if len(flagged) == 1 else 'come'} back more often than the "
            "other numbers of the same part, more than chance explains: see Callbacks."
        )


def parts(page: Page, cases: pd.DataFrame, key: str) -> str | None:
    """List cases by part number; return the number of the row that was clicked."""
    table = labelled(by_part(cases), page.labels)
    shown = {
        "part": columns.text("Part", width=260),
        "cases": columns.count("Cases"),
        "fitted_jobs": columns.count("Jobs fitted", help="jobs here in which it was fitted"),
        "parts_cost": columns.money("Parts", page.currency),
        "lost_cost": columns.money("Labor lost", page.currency),
    }
    row = widgets.clicked_row(table, shown, key)
    return None if row is None else str(table["number"].iloc[row])


def listed_cases(page: Page, cases: pd.DataFrame, number: str | None, key: str) -> None:
    """List cases, all or of one part number; a row opens the job on which it was found."""
    table = labelled(cases, page.labels)
    if number is not None:
        table = table[table["number"] == number]
    table = table.assign(
        job_id=table["found_on"],
        known=[
            EVIDENCE[row.evidence]
            + ("" if row.found_on == row.job_id else f", fitted on job {row.job_id}")
            for row in each_row(table)
        ],
    ).sort_values(["closed_on", "job_id"], ascending=False)
    shown = {
        "job_id": columns.text("Found on job"),
        "closed_on": columns.day("Closed"),
        "part": columns.text("Part", width=260),
        "known": columns.text("How we know", width="medium"),
        "unit_cost": columns.money("Cost", page.currency, is_unit_price=True),
    }
    job_table.opening(table, shown, "parts credit", key)


def offers(page: Page, cases: pd.DataFrame) -> None:
    """Offer the list as files."""
    said = claims(cases)
    shop = str(page.settings.get("shop_name") or "")
    with st.container(horizontal=True):
        widgets.offer(
            "List to send (HTML)",
            lambda: paper_html(
                credit_paper(cases, page.filters, page.labels, page.currency, shop),
                is_sample=page.is_sample,
            ),
            "parts_credit.html",
            "text/html",
            key="credit_paper",
        )
        widgets.download(said.assign(supplier="", invoice=""), "parts_credit")


if __name__ == "__main__":
    shell.show(draw)
