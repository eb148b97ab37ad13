"""Records: what was loaded, what became of every row, and what the records can support."""

from functools import partial

import streamlit as st

from dashboard.database.query import records
from dashboard.errors import UserError
from dashboard.settings.file import for_load
from dashboard.text import format as words
from dashboard.text.escape_markdown import verbatim
from dashboard.ui import shell, widgets
from dashboard.ui.page import Page
from etl.load import accept_words
from etl.mapping.accepted_words import AcceptedWord, known_ids
from etl.quarantine import to_mend, waiting_sources

TITLE = "What was loaded?"
ACCOUNT = {
    "load_no": st.column_config.NumberColumn("Load"),
    "file": st.column_config.TextColumn("File", width="medium"),
    "sheet": st.column_config.TextColumn("Sheet"),
    "table_name": st.column_config.TextColumn("Holds"),
    "mapping": st.column_config.TextColumn("Mapping"),
    "read": st.column_config.NumberColumn("Rows read"),
    "loaded": st.column_config.NumberColumn("Loaded"),
    "duplicate": st.column_config.NumberColumn("Duplicate"),
    "superseded": st.column_config.NumberColumn("Superseded"),
    "quarantined": st.column_config.NumberColumn("In quarantine"),
    "unmapped": st.column_config.TextColumn("Columns not used"),
}


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin(TITLE)
    quarantined = what_was_read(page)
    what_they_support(page)
    why_rows_wait(page)
    unknown_words(page)
    rows_to_mend(page, quarantined)


def what_was_read(page: Page) -> int:
    """Say what became of every row."""
    accounts = page.rows("accounts")
    read, quarantined = int(accounts["read"].sum()), int(accounts["quarantined"].sum())
    st.markdown(
        f"**{read:,} rows of {words.counted(accounts['file'].nunique(), 'file')} were read; "
        f"{quarantined:,} wait in quarantine.** Each row is counted once: "
        "read = loaded + duplicate + superseded + quarantined."
    )
    widgets.table(accounts, ACCOUNT)
    widgets.download(accounts, "account")
    return quarantined


def what_they_support(page: Page) -> None:
    """List the questions that these records can support."""
    st.subheader("What these records can support")
    needs = page.rows("support")
    widgets.table(
        needs,
        {
            "question": st.column_config.TextColumn("Question", width="large"),
            "needs": st.column_config.TextColumn("Needs", width="medium"),
            "jobs_with": st.column_config.NumberColumn("Closed jobs that have it"),
            "jobs": st.column_config.NumberColumn("of"),
            "verdict": st.column_config.TextColumn("So"),
        },
    )


def why_rows_wait(page: Page) -> None:
    """List why rows wait in quarantine."""
    st.subheader("Why rows wait in quarantine")
    reasons = page.rows("quarantine_reasons")
    if reasons.empty:
        st.caption("Nothing waits.")
    else:
        widgets.table(
            reasons,
            {
                "table_name": st.column_config.TextColumn("Table"),
                "title": st.column_config.TextColumn("Reason", width="medium"),
                "field": st.column_config.TextColumn("Field"),
                "rows": st.column_config.NumberColumn("Rows"),
                "remedy": st.column_config.TextColumn("What to do", width="large"),
            },
        )


def unknown_words(page: Page) -> None:
    """Let the reader give unknown words a meaning."""
    st.subheader("Words that are not understood")
    unknown = page.rows("unknown_words")
    if unknown.empty:
        st.caption("Every word was understood.")
    else:
        st.caption(
            "The rows are loaded with the field empty (a complaint becomes “unspecified”); an "
            "unknown appliance or ending keeps its row in quarantine. A meaning given here "
            "counts for all that was ever loaded."
        )
        widgets.table(
            unknown,
            {
                "field": st.column_config.TextColumn("Field"),
                "appliance_kind": st.column_config.TextColumn("Appliance"),
                "text": st.column_config.TextColumn("They wrote", width="large"),
                "rows": st.column_config.NumberColumn("Rows"),
                "suggestion": st.column_config.TextColumn("Closest known word"),
            },
        )
        place = st.selectbox(
            "Word",
            range(len(unknown)),
            format_func=lambda i: (
                f"{unknown['text'].iloc[i]} ({unknown['field'].iloc[i]}, "
                f"{words.counted(int(unknown['rows'].iloc[i]), 'row')})"
            ),
            key="unknown_word",
        )
        row = unknown.iloc[place]
        ids = sorted(known_ids(row["field"]))
        suggestion = row["suggestion"]
        meaning = st.selectbox(
            "means",
            ids,
            index=ids.index(suggestion) if suggestion in ids else None,
            format_func=lambda id_: page.labels.of(row["field"], id_, row["appliance_kind"]),
            key=f"meaning_{place}",
        )
        if st.button("Accept", disabled=meaning is None):
            accepted = AcceptedWord(row["mapping"], row["field"], row["text"], meaning)
            try:
                accept_words(page.folder, [accepted], for_load(page.settings))
            except UserError as problem:
                st.error(verbatim(problem))
            else:
                st.rerun()


def rows_to_mend(page: Page, quarantined: int) -> None:
    """Offer the rows that wait as files."""
    st.subheader("Rows to mend")
    ask = partial(records, page.snapshot)
    waiting = waiting_sources(ask) if quarantined else []
    if waiting:
        st.caption(
            "Mend them in a spreadsheet and add the file again: a mended row takes the place of "
            "the one that waits. Customers and serials stand in them as keys."
        )
    for source in waiting:
        widgets.offer(
            f"{verbatim(source.file_name)} ({words.counted(source.count, 'row')})",
            partial(to_mend, ask, source),
            source.file_name,
            "text/csv",
            key=f"mend_{source.file_name}",
        )


if __name__ == "__main__":
    shell.show(draw)
