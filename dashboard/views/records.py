"""What was loaded: what needs the reader, what became of every row, what the records support."""

from functools import partial

import pandas as pd
import streamlit as st

from dashboard.database.query import records
from dashboard.loading.stored_answers import spellings, unknown_words
from dashboard.rows import each_row
from dashboard.text import format as words
from dashboard.text.escape_markdown import verbatim
from dashboard.ui import columns, shell, widgets
from dashboard.ui.page import Page
from dashboard.views.sections.outcomes_by_kind import outcomes_by_kind
from etl.mapping.spellings import proposed_names
from etl.quarantine import to_fix, waiting_sources

TITLE = "What was loaded"
ACCOUNT = {
    "source": columns.text("File"),
    "read": columns.count("Rows read"),
    "loaded": columns.count("Loaded"),
    "apart": columns.text("Not loaded again"),
    "quarantined": columns.count("Need fixing"),
}


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin(TITLE)
    accounts, unknown = page.rows("accounts"), page.rows("unknown_words")
    proposed = proposed_names(list(records(page.snapshot, "pages/written_names")))
    needs_you(accounts, unknown, len(proposed))
    rows_to_fix(page, int(accounts["quarantined"].sum()))
    unknown_words(page, unknown)
    spellings(page, proposed)
    outcomes_by_kind(page)
    what_they_support(page)
    what_was_read(accounts)


def needs_you(accounts: pd.DataFrame, unknown: pd.DataFrame, spellings_open: int) -> None:
    """Lead with what the reader has to do, and what it brings."""
    waiting, held = int(accounts["quarantined"].sum()), int(unknown["jobs_held"].sum())
    if not waiting and unknown.empty and not spellings_open:
        st.success("Every row is loaded and every word is understood. Nothing needs you.")
        return
    todo = []
    if waiting:
        need = "needs" if waiting == 1 else "need"
        todo.append(
            f"**{words.counted(waiting, 'row')} {need} you:** download the rows to fix, correct "
            "them in a spreadsheet, and add the file again."
        )
    if not unknown.empty:
        frees = f", and {words.counted(held, 'job')} can be counted" if held else ""
        todo.append(
            f"**{words.counted(len(unknown), 'word')} we do not know:** say below what each "
            f"means{frees}."
        )
    if spellings_open:
        todo.append(
            f"**{words.counted(spellings_open, 'name')} may be misspelled:** say below which are. "
            "Until then, each counts as a name of its own."
        )
    st.markdown("\n\n".join(todo))


def rows_to_fix(page: Page, quarantined: int) -> None:
    """Offer the rows that wait as files, with why they wait."""
    if not quarantined:
        return
    st.subheader("Rows to fix")
    ask = partial(records, page.snapshot)
    with st.container(horizontal=True):
        for source in waiting_sources(ask):
            widgets.offer(
                f"{verbatim(source.file_name)} ({words.counted(source.count, 'row')})",
                partial(to_fix, ask, source),
                source.file_name,
                "text/csv",
                key=f"fix_{source.file_name}",
            )
    st.caption(
        "A corrected row replaces the one waiting here. Customers and serial numbers are shown as "
        "keys."
    )
    reasons = page.rows("quarantine_reasons")
    widgets.table(
        reasons.assign(
            table_name=reasons["table_name"].map(in_words), field=reasons["field"].map(in_words)
        ),
        {
            "rows": columns.count("Rows"),
            "title": columns.text("Reason"),
            "table_name": columns.text("Table"),
            "field": columns.text("Field"),
            "remedy": columns.text("What to do"),
        },
    )


def in_words(name: str | None) -> str:
    """Write the name of a table or field as words."""
    text = words.capitalized(str(name or "").replace("_", " "))
    return text.replace("Job id", "Job number").replace("Part no", "Part number")


def what_they_support(page: Page) -> None:
    """List the questions that these records can support."""
    st.subheader("What these records can answer")
    support = page.rows("support")
    counts = [f"{row.jobs_with:,} of {row.jobs:,}" for row in each_row(support)]
    widgets.table(
        support.assign(counts=counts),
        {
            "question": columns.text("Question"),
            "needs": columns.text("Needs"),
            "counts": columns.text("Closed jobs that have it"),
            "verdict": columns.text("Answer"),
        },
    )


def what_was_read(accounts: pd.DataFrame) -> None:
    """Say what became of every row."""
    st.subheader("Every file, row by row")
    st.markdown(
        f"{words.counted(int(accounts['read'].sum()), 'row')} were read from "
        f"{words.counted(accounts['file'].nunique(), 'file')}. Each row is counted once: "
        "read = loaded + duplicate + superseded + need fixing."
    )
    rows = list(each_row(accounts))
    shown = accounts.assign(
        source=[row.file if pd.isna(row.sheet) else f"{row.file}, {row.sheet}" for row in rows],
        apart=[f"{row.duplicate:,} duplicate, {row.superseded:,} superseded" for row in rows],
    )
    widgets.table(shown, ACCOUNT)
    unused = [
        f"- {row.source}: {row.unmapped}" for row in each_row(shown) if not_empty(row.unmapped)
    ]
    if unused:
        with st.expander("Details: columns not used"):
            st.markdown(verbatim("\n".join(unused)))
    widgets.download(accounts, "account")


def not_empty(value: object) -> bool:
    """Return True if a cell holds text."""
    return isinstance(value, str) and value != ""


if __name__ == "__main__":
    shell.show(draw)
