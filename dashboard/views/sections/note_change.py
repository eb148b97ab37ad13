"""Section: the owner's forms to note and remove changes and targets."""

from collections.abc import Callable, Sequence
from functools import partial

import streamlit as st

from dashboard.changes.figures import NAMES
from dashboard.changes.sentences import title
from dashboard.errors import UserError
from dashboard.notes.changes import (
    DOWN,
    MOST_TEXT,
    SHARES,
    UP,
    WANTED,
    Change,
    note_change,
    note_target,
    read_targets,
    remove_change,
    remove_target,
)
from dashboard.text.escape_markdown import verbatim
from dashboard.ui.page import Page

TOUCHED = {
    "branch": "Branch", "technician": "Technician", "appliance_kind": "Appliance",
    "symptom": "Complaint",
}  # fmt: skip


def note_forms(page: Page, changes: Sequence[Change]) -> None:
    """Draw the forms, closed."""
    with st.expander("Note a change"):
        change_form(page)
    with st.expander("Set a target"):
        target_form(page)
    targets = read_targets(page.folder)
    if changes or targets:
        with st.expander("Remove a change or a target"):
            for each in changes:
                _remove(title(each), f"remove_{each.id}", _removes(page, each.id))
            for target in targets:
                name = f"Target for {NAMES[target.measure].lower()}"
                _remove(name, f"no_{target.measure}", _drops(page, target.measure))


def change_form(page: Page) -> None:
    """Draw the form of a new change and save it."""
    choices = page.rows("choices")
    with st.form("note_change", clear_on_submit=True):
        day = st.date_input("From which day", value=page.dataset.as_of.date())
        what = st.text_input("What changes", max_chars=MOST_TEXT)
        measure = st.selectbox("What should move", list(NAMES), format_func=NAMES.__getitem__)
        way = st.radio(
            "Which way", ["as wanted", UP, DOWN], horizontal=True,
            help="As wanted: first-time fix and revenue up, everything else down.",
        )  # fmt: skip
        st.caption("Whom it touches; leave all empty for the whole shop.")
        touched = {
            name: st.multiselect(
                head,
                choices.loc[choices["filter"] == name, "value"].tolist(),
                format_func=partial(page.labels.of, name),
                key=f"touched_{name}",
                placeholder="All",
            )
            for name, head in TOUCHED.items()
        }
        parts = st.text_input("Part numbers", help="Separated by commas; jobs that fit them.")
        if st.form_submit_button("Note this change", type="primary"):
            numbers = [each.strip() for each in parts.split(",") if each.strip()]
            values = {
                "changed_on": day, "what": what, "measure": measure, "part_no": numbers,
                "way": WANTED[measure] if way not in (UP, DOWN) else way, **touched,
            }  # fmt: skip
            _save(lambda: note_change(page.folder, **values))


def target_form(page: Page) -> None:
    """Draw the form of a target and save it."""
    with st.form("set_target", clear_on_submit=True):
        measure = st.selectbox("Of", SHARES, format_func=NAMES.__getitem__, key="of")
        value = st.number_input("Percent of jobs", 1, 99, 75)
        by = st.date_input("In the month of", value=page.dataset.as_of.date(), key="target_by")
        if st.form_submit_button("Set this target", type="primary"):
            _save(lambda: note_target(page.folder, measure=measure, value=value / 100, by=by))


def _removes(page: Page, number: int) -> Callable[[], None]:
    return lambda: remove_change(page.folder, number)


def _drops(page: Page, measure: str) -> Callable[[], None]:
    return lambda: remove_target(page.folder, measure)


def _remove(name: str, key: str, action: Callable[[], None]) -> None:
    left, right = st.columns([4, 1], vertical_alignment="center")
    left.markdown(verbatim(name))
    if right.button("Remove", key=key):
        _save(action)


def _save(action: Callable[[], None]) -> None:
    try:
        action()
    except UserError as problem:
        st.error(f"Not saved. {verbatim(problem)}")
    else:
        st.rerun()
