"""What was loaded: what needs the reader, what became of every row, what the records support."""

from collections.abc import Sequence
from functools import partial

import pandas as pd
import streamlit as st

from dashboard.database.query import records
from dashboard.errors import UserError
from dashboard.loading.answers import Words, answer_words, join_spellings
from dashboard.rows import each_row
from dashboard.settings.file import for_load
from dashboard.text import format as words
from dashboard.text.escape_markdown import verbatim
from dashboard.ui import columns, shell, widgets
from dashboard.ui.page import Page
from dashboard.views.sections.outcomes_by_kind import outcomes_by_kind
from etl.load import accept_words
from etl.mapping.accepted_words import AcceptedWord
from etl.mapping.spellings import SameName, proposed_names
from etl.quarantine import to_fix, waiting_sources

TITLE = "What was loaded"
ACCOUNT = {
    "source": columns.text("File", width="medium"),
    "read": columns.count("Rows read"),
    "loaded": columns.count("Loaded"),
    "apart": columns.text("Not loaded again", width="medium"),
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
        frees = f"; that frees {words.counted(held, 'job')}" if held else ""
        todo.append(
            f"**{words.counted(len(unknown), 'word')} we do not know:** say below what each "
            f"means{frees}."
        )
    if spellings_open:
        todo.append(
            f"**{words.counted(spellings_open, 'spelling')} may be another name's:** say below "
            "which are; until then rates count each by itself."
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
        "A corrected row takes the place of the one that waits. Customers and serials are shown "
        "as keys."
    )
    reasons = page.rows("quarantine_reasons")
    widgets.table(
        reasons.assign(
            table_name=reasons["table_name"].map(in_words), field=reasons["field"].map(in_words)
        ),
        {
            "rows": columns.count("Rows"),
            "title": columns.text("Reason", width="medium"),
            "table_name": columns.text("Table"),
            "field": columns.text("Field"),
            "remedy": columns.text("What to do", width="medium"),
        },
    )


def in_words(name: str | None) -> str:
    """Write the name of a table or field as words."""
    text = words.capitalized(str(name or "").replace("_", " "))
    return text.replace("Job id", "Job number").replace("Part no", "Part number")


def unknown_words(page: Page, unknown: pd.DataFrame) -> None:
    """Let the reader give unknown words a meaning, all of them in one table."""
    if unknown.empty:
        return
    st.subheader("Words we do not know")
    st.caption(
        "Words that hold jobs back come first; the others leave their field empty. What you say "
        "here counts for everything that was ever loaded."
    )
    chosen = answer_words(unknown, "unknown_words")
    answers = [
        AcceptedWord(row.mapping, row.field, row.text, chosen[row.field][row.text])
        for row in each_row(unknown)
        if row.text in chosen.get(row.field, {})
    ]
    label = f"Save {words.counted(len(answers), 'answer')}" if answers else "Save answers"
    if st.button(label, type="primary", disabled=not answers, key="save_words"):
        accept(page, answers)


def spellings(page: Page, proposed: list[tuple[str, str, SameName]]) -> None:
    """Say which spellings are joined, and let others be joined."""
    joined = page.rows("joined_names")
    if joined.empty and not proposed:
        return
    st.subheader("Names written in several ways")
    if not joined.empty:
        names = joined.drop_duplicates(["field", "name"])
        st.markdown(
            f"{words.counted(len(joined), 'spelling')} joined to "
            f"{words.counted(len(names), 'name')}; every rate counts them as one."
        )
        widgets.table(joined[["field", "spelling", "name"]])
        undo(page, joined[joined["is_accepted"] == 1])
    if proposed:
        jobs = page.rows("written_names").set_index(["mapping", "field", "name"])["jobs"]
        shown = [(f, same, int(jobs[m, f, same.spelling])) for m, f, same in proposed]
        chosen: Words = join_spellings(shown, "stored_names")
        answers = [
            AcceptedWord(mapping, field, same.spelling, same.name)
            for mapping, field, same in proposed
            if same.spelling in chosen.get(field, {})
        ]
        label = f"Join {words.counted(len(answers), 'spelling')}" if answers else "Join spellings"
        if st.button(label, disabled=not answers, key="save_names"):
            accept(page, answers)


def undo(page: Page, accepted: pd.DataFrame) -> None:
    """Let a joined spelling be a name of its own again."""
    rows = list(each_row(accepted))
    chosen = st.multiselect(
        "Separate again",
        range(len(rows)),
        format_func=lambda i: f"{rows[i].spelling} from {rows[i].name}",
        key="separate",
    )
    if chosen and st.button("Separate these", key="save_separate"):
        answers = [
            AcceptedWord(rows[i].mapping, rows[i].field, rows[i].spelling, "") for i in chosen
        ]
        accept(page, [], answers)


def accept(page: Page, answers: list[AcceptedWord], withdrawn: Sequence[AcceptedWord] = ()) -> None:
    """Save answers and rebuild; show the page again by the new version."""
    try:
        with st.spinner("Saving, and rebuilding by it"):
            accept_words(page.folder, answers, for_load(page.settings), withdrawn=withdrawn)
    except UserError as problem:
        st.error(verbatim(problem))
    else:
        st.rerun()


def what_they_support(page: Page) -> None:
    """List the questions that these records can support."""
    st.subheader("What these records can answer")
    support = page.rows("support")
    counts = [f"{row.jobs_with:,} of {row.jobs:,}" for row in each_row(support)]
    widgets.table(
        support.assign(counts=counts),
        {
            "question": columns.text("Question", width="medium"),
            "needs": columns.text("Needs", width="medium"),
            "counts": columns.text("Closed jobs that have it"),
            "verdict": columns.text("Answer"),
        },
    )


def what_was_read(accounts: pd.DataFrame) -> None:
    """Say what became of every row."""
    st.subheader("Every file, row by row")
    st.markdown(
        f"{words.counted(int(accounts['read'].sum()), 'row')} of "
        f"{words.counted(accounts['file'].nunique(), 'file')} were read. Each row is counted once: "
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
