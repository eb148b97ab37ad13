"""Ways from page to page that keep the filters: tabs, job search, one job, lists walked through."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import NoReturn

import streamlit as st
from streamlit.runtime.scriptrunner import get_script_run_ctx

from dashboard.access.reader import reader
from dashboard.ui.filter_sidebar import DATES, NAMES
from dashboard.ui.menu import TITLES, row_of_tabs

WALK, SEARCH, WANTED, ARRIVING = "walk", "find_job", "wanted_job", "arriving"
JOB = "job"


@dataclass(frozen=True)
class Walk:
    """A list of jobs that the reader walks through, and the page and query to go back to."""

    title: str
    jobs: tuple[str, ...]
    page: str
    query: Mapping[str, Sequence[str]]


def path_of(name: str) -> str:
    """Return the file of a page, as Streamlit names pages."""
    return f"views/{name}.py"


def kept_query() -> dict[str, list[str]]:
    """Return the parameters of the common filters in the address."""
    return {key: st.query_params.get_all(key) for key in (*DATES, *NAMES) if key in st.query_params}


def go(name: str, **parameters: str) -> NoReturn:
    """Open a page in this tab with these parameters; the filters stay. One step of Back returns."""
    query = {**kept_query(), **parameters}
    _unbind(query)
    st.session_state[ARRIVING] = {key: [v] for key, v in parameters.items() if key in NAMES}
    st.switch_page(path_of(name), query_params=query)


def _unbind(keys: Iterable[str]) -> None:
    """Free parameters of the address from this page's widgets: Streamlit sets no bound one.

    Streamlit offers this to its own modules only; tests/browser/test_click_anything.py tries it.
    """
    context = get_script_run_ctx()
    if context is None:
        return
    with context.session_state.query_params() as bound:
        for key in keys:
            if binding := bound.get_binding_for_param(key):
                bound.unbind_widget(binding.widget_id)


def arrive() -> None:
    """Set the filters that `go` was given; before they are drawn."""
    for key, value in st.session_state.pop(ARRIVING, {}).items():
        st.session_state[key] = value


def open_job(job_id: str, title: str, jobs: Sequence[str], page: str) -> NoReturn:
    """Open a job of a list; its page offers the previous and the next one, and the way back."""
    query = {key: st.query_params.get_all(key) for key in st.query_params}
    st.session_state[WALK] = Walk(title, tuple(jobs), page, query)
    go(JOB, job=job_id)


def tabs(name: str) -> None:
    """Draw the row of tabs that a page belongs to."""
    opened = [each for each in row_of_tabs(name) if reader().opens(each)]
    if len(opened) < 2:
        return
    with st.container(horizontal=True, key="page_tabs"):
        for each in opened:
            st.page_link(
                path_of(each),
                label=f"**{TITLES[each]}**" if each == name else TITLES[each],
                query_params=kept_query(),
            )


def job_search() -> None:
    """Draw the search for a job number at the side; a number opens the job."""
    if not reader().opens(JOB):
        return
    with st.sidebar:
        st.text_input("Find a job", key=SEARCH, placeholder="Job number", on_change=_note_search)
    if wanted := st.session_state.pop(WANTED, None):
        st.session_state.pop(WALK, None)
        st.session_state[JOB] = wanted
        go(JOB, job=wanted)


def _note_search() -> None:
    st.session_state[WANTED] = st.session_state[SEARCH].strip()
    st.session_state[SEARCH] = ""


def walk_bar(job_id: str) -> None:
    """Draw the way back to the list, and to the previous and next job of it."""
    walk: Walk | None = st.session_state.get(WALK)
    if walk is None or job_id not in walk.jobs:
        return
    place = walk.jobs.index(job_id)
    with st.container(horizontal=True, vertical_alignment="center", key="walk_bar"):
        st.page_link(
            path_of(walk.page), label=f"Back to {walk.title}", icon=":material/arrow_back:",
            query_params=dict(walk.query),
        )  # fmt: skip
        if place > 0:
            _step("Previous job", walk.jobs[place - 1])
        st.caption(f"{place + 1:,} of {len(walk.jobs):,}")
        if place + 1 < len(walk.jobs):
            _step("Next job", walk.jobs[place + 1])


def _step(label: str, job_id: str) -> None:
    st.page_link(path_of(JOB), label=label, query_params=kept_query() | {"job": job_id})
