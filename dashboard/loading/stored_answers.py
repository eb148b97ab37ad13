"""Answers about the stored records: what a word means, which spellings are one name."""

from collections.abc import Sequence

import pandas as pd
import streamlit as st

from dashboard.errors import UserError
from dashboard.loading.answers import Words, answer_words, join_spellings
from dashboard.rows import each_row
from dashboard.settings.file import for_load
from dashboard.text import format as words
from dashboard.text.escape_markdown import verbatim
from dashboard.ui import widgets
from dashboard.ui.page import Page
from etl.mapping.accepted_words import AcceptedWord
from etl.mapping.spellings import SameName
from etl.rebuild import accept_words


def unknown_words(page: Page, unknown: pd.DataFrame) -> None:
    """Let the reader give unknown words a meaning, all of them in one table."""
    if unknown.empty:
        return
    st.subheader("Words we do not know")
    st.caption(
        "Words that keep jobs from being counted come first; the others leave a field empty. Your "
        "answers apply to everything loaded so far and later."
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
