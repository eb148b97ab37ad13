"""Parts credit: which new parts were faulty, as a list to send to the supplier."""

import pandas as pd
import streamlit as st

from dashboard.callbacks.credit_paper import credit_paper
from dashboard.callbacks.credit_sentences import (
    EVIDENCE,
    UNKNOWN_SUPPLIER,
    by_part,
    claims,
    credit_words,
    hint_words,
    hints,
    labelled,
    of_supplier,
    supplier_words,
    suppliers_of,
)
from dashboard.rows import each_row
from dashboard.text.escape_markdown import verbatim
from dashboard.text.format import listed
from dashboard.text.paper import paper_html
from dashboard.ui import columns, job_table, shell, widgets
from dashboard.ui.page import Page
from dashboard.views.sections.offer_paper import offer_paper

EVERY_SUPPLIER = "all of them"


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin("Which new parts were faulty, and what is owed for them?")
    cases = page.measure("parts_credit")
    st.markdown(f"{credit_words(cases, page.currency)} {supplier_words(cases, page.currency)}")
    early_parts(page)
    supplier = one_supplier(claims(cases))
    said = of_supplier(claims(cases), supplier)
    if not said.empty:
        chosen = parts(page, said, "credit_parts")
        st.caption("Click a part to see its cases only.")
        listed_cases(page, chosen, "credit_jobs")
    offers(page, cases, supplier)
    if not hints(cases).empty:
        st.subheader("Ask before you claim")
        st.markdown(hint_words(cases))
        chosen = parts(page, hints(cases), "hint_parts")
        with st.expander("The jobs", expanded=len(chosen) < len(hints(cases))):
            listed_cases(page, chosen, "hint_jobs")
    widgets.how_counted("parts_credit")


def one_supplier(said: pd.DataFrame) -> str | None:
    """Let the reader choose one supplier to send a list to; None for all of them."""
    names = suppliers_of(said)
    if not names:
        return None
    rest = [UNKNOWN_SUPPLIER] if said["supplier"].isna().any() else []
    chosen = st.selectbox(
        "Supplier", [EVERY_SUPPLIER, *names, *rest], key="supplier", bind="query-params"
    )
    return None if chosen == EVERY_SUPPLIER else chosen


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


def parts(page: Page, cases: pd.DataFrame, key: str) -> pd.DataFrame:
    """List cases by part number and supplier; return those of the row clicked, else all."""
    table = labelled(by_part(cases), page.labels)
    sold_by = {"sold_by": columns.text("Supplier")} if suppliers_of(cases) else {}
    shown = {
        "part": columns.text("Part"),
        "cases": columns.count("Cases"),
        **sold_by,
        "fitted_jobs": columns.count("Jobs fitted", help="jobs here in which it was fitted"),
        "parts_cost": columns.money("Parts", page.currency),
        "lost_cost": columns.money("Labor lost", page.currency),
    }
    row = widgets.clicked_row(table, shown, key)
    if row is None:
        return cases
    named = labelled(cases, page.labels)
    number, supplier = table[["number", "sold_by"]].iloc[row]
    return cases[(named["number"] == number) & (named["sold_by"] == supplier)]


def listed_cases(page: Page, cases: pd.DataFrame, key: str) -> None:
    """List cases; a row opens the job on which it was found."""
    table = labelled(cases, page.labels)
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
        "part": columns.text("Part"),
        "known": columns.text("How we know"),
        "unit_cost": columns.money("Cost", page.currency, is_unit_price=True),
    }
    job_table.opening(table, shown, "parts credit", key)


def offers(page: Page, cases: pd.DataFrame, supplier: str | None) -> None:
    """Offer the list as files: of one supplier where one is chosen."""
    shop = str(page.settings.get("shop_name") or "")
    offer_paper(
        "List to send",
        lambda: paper_html(
            credit_paper(cases, page.filters, page.labels, page.currency, shop, supplier),
            is_sample=page.is_sample,
        ),
        "parts_credit",
    )
    widgets.download(of_supplier(claims(cases), supplier).assign(invoice=""), "parts_credit")


if __name__ == "__main__":
    shell.show(draw)
