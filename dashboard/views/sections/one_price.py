"""Section: one price of the list: break-even, parts, its jobs; approve it or take it back."""

from typing import Any

import pandas as pd
import streamlit as st

from dashboard.database.query import run
from dashboard.errors import UserError
from dashboard.pricing.approvals import approve, may_approve, undo
from dashboard.pricing.break_even import raises
from dashboard.pricing.new_approval import approval_of
from dashboard.pricing.price_list import PriceList
from dashboard.pricing.price_list_sentences import decline_words, raise_words
from dashboard.text import format as words
from dashboard.text.escape_markdown import verbatim
from dashboard.ui import columns, job_table, widgets
from dashboard.ui.page import Page


def show(page: Page, made: PriceList, row: Any) -> None:
    """Draw what one price rests on and let owner or pricing approve it."""
    with st.container(border=True):
        st.subheader(verbatim(row.label))
        st.markdown(decline_words(row, made.currency))
        st.caption(_rests_on(row, made))
        _raises(row, made)
        _jobs(page, made, row)
        if may_approve():
            _approve(page, made, row)


def _rests_on(row: Any, made: PriceList) -> str:
    parts = [
        f"{words.counted(row.jobs, 'job')}, planned {words.minutes(row.planned_minutes)}",
        f"parts {words.money(row.parts_cost, made.currency)} a job",
        f"average cost {words.money(row.expected_cost, made.currency)}",
    ]
    if not words.is_missing(row.rate_at_hand) and not row.is_call_fee:
        parts.append(
            f"without return trips for missing parts {words.money(row.rate_at_hand, made.currency)}"
            f" ({words.counted(row.jobs_at_hand, 'job')} had their part)"
        )
    return verbatim("; ".join(parts) + ".")


def _raises(row: Any, made: PriceList) -> None:
    """List what the present price leaves when it is raised step by step."""
    if row.is_call_fee or pd.isna(row.price_now):
        return
    saved = None if pd.isna(row.saved_cost) else float(row.saved_cost)
    cost = None if pd.isna(row.expected_cost) else float(row.expected_cost)
    steps = raises(float(row.price_now), saved, cost, made.terms.call_fee)
    if not steps:
        return
    heads = ["On the present price", "Price", "Margin", "May decline"]
    table = pd.DataFrame([raise_words(each, made.currency) for each in steps], columns=heads)
    widgets.table(table)


def _jobs(page: Page, made: PriceList, row: Any) -> None:
    """List the jobs behind the price; a row opens its job."""
    rows = run(page.snapshot, "measures/flat_rate", page.filters, **page.settings)
    jobs = rows[
        (rows["appliance_kind"] == row.appliance_kind) & (rows["repair_code"] == row.repair_code)
    ]
    if row.side:
        jobs = jobs[(jobs["brand"].fillna("") + " " + jobs["model"].fillna("")).str.strip().isin(
            row.models.split("; "))]  # fmt: skip
    shown = {
        "job_id": columns.text("Job"),
        "closed_on": columns.day("Closed"),
        "model": columns.text("Model"),
        "job_min": columns.minutes("Time on job"),
        "part_trips": columns.count("Trips for missing parts"),
        "job_parts_cost": columns.money("Parts", made.currency),
        "charged": columns.money("Charged", made.currency, help="with what returns charged"),
    }
    with st.expander(f"{words.counted(len(jobs), 'job')} behind this price"):
        job_table.opening(jobs.iloc[::-1].head(widgets.LISTED), shown, "the price list", "priced")


def _approve(page: Page, made: PriceList, row: Any) -> None:
    if made.filtered:
        st.caption("Prices are approved on the list of the whole shop.")
        return
    default = row.proposed_rate if pd.notna(row.proposed_rate) else row.price_now
    with st.form(f"approve_{row.key}"):
        left, right = st.columns(2)
        price = left.number_input(
            "Price to approve", 0.0, 1_000_000.0, float(default or 0), 5.0, format="%.2f"
        )
        day = right.date_input("From", made.effective_on)
        if st.form_submit_button("Approve this price", type="primary"):
            _saved(lambda: approve(page.folder, [approval_of(made, row, price, day)]))
    if row.is_approved and st.button("Undo the last approval", key="undo_price"):
        _saved(lambda: undo(page.folder, (row.appliance_kind, row.repair_code, row.side)))


def _saved(change: Any) -> None:
    try:
        change()
    except UserError as problem:
        st.error(f"Not saved. {verbatim(problem)}")
        return
    st.rerun()
