"""The shell around every page: its snapshot and filters, refusals, and newer versions."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

import pandas as pd
import streamlit as st
from streamlit.navigation.page import StreamlitPage

from dashboard.access.page_roles import TECHNICIAN
from dashboard.access.queries import check_page
from dashboard.access.reader import Refused, reader
from dashboard.database.labels import read_labels
from dashboard.database.query import run
from dashboard.database.snapshot import Snapshot, take
from dashboard.database.temperature_unit import use_units
from dashboard.database.version import Damaged, NothingLoaded, version
from dashboard.errors import UserError
from dashboard.filters import Filters
from dashboard.settings.file import database_folder
from dashboard.text.escape_markdown import verbatim
from dashboard.ui import filter_sidebar, frame, navigation, widgets
from dashboard.ui.menu import WITHOUT_FILTERS
from dashboard.ui.page import Page, Records

PAGE, VERSION, IS_NEW = "page", "version", "is_new_run"


def prepare(settings: Mapping[str, Any] | UserError, name: str) -> None:
    """Take the snapshot, draw the filters and keep the Page; called once a run, before the view.

    `settings`: those of the shop, or why they cannot be read; `name`: the page to be drawn.
    """
    folder = database_folder()
    navigation.arrive()
    st.session_state[VERSION], st.session_state[IS_NEW] = str(None), True
    if isinstance(settings, UserError):
        st.session_state[PAGE] = Page(folder, {}, problem=str(settings), name=name)
        return
    try:
        records = _records(settings, name)
        st.session_state[PAGE] = Page(folder, settings, records, name=name)
    except Damaged:
        st.rerun()  # now the last good version is read
    except UserError as problem:
        st.session_state[PAGE] = Page(folder, settings, problem=str(problem), name=name)


def _records(settings: Mapping[str, Any], name: str) -> Records | None:
    """Return what this run reads, None before the first load."""
    try:
        snapshot = take(database_folder(), settings)
    except NothingLoaded:
        return None
    st.session_state[VERSION] = str(snapshot.version)
    use_units(snapshot)
    labels = read_labels(snapshot)
    navigation.job_search()
    acts = name not in WITHOUT_FILTERS
    chosen = filter_sidebar.sidebar(_choices(snapshot), labels) if acts else Filters()
    widgets.chart_format()
    own = snapshot.reader.technician
    if own and acts:
        chosen = replace(chosen, technician=(own,))  # in the sentence; the queries add it anyway
    records = Records(snapshot, chosen, labels, run(snapshot, "pages/dataset").iloc[0])
    if snapshot.notice:
        st.warning(verbatim(snapshot.notice), icon=":material/history:")
    return records


def _choices(snapshot: Snapshot) -> pd.DataFrame:
    """Return what the filters offer: to a technician no technicians."""
    choices = run(snapshot, "pages/choices")
    is_single = snapshot.reader.role == TECHNICIAN
    return choices[choices["filter"] != TECHNICIAN] if is_single else choices


def open_view(view: StreamlitPage, name: str) -> None:
    """Run the file of a view; again from the last good version when this one is damaged.

    A reader who may not open it, or may not see a job on it, gets a message instead.
    """
    try:
        frame.draw(name, _page().settings)
        check_page(reader(), name)
        navigation.tabs(name)
        view.run()
    except Damaged:
        st.rerun()
    except Refused as refusal:
        if not reader().opens(name):
            st.title(view.title)
        st.warning(verbatim(refusal), icon=":material/lock:")
    except UserError as problem:
        st.error(verbatim(problem))


def show(draw: Callable[[Page], None]) -> None:
    """Draw a view on the Page of this run; the last line of every file in views/."""
    draw(_page())


def _page() -> Page:
    page: Page = st.session_state[PAGE]
    return page


@st.fragment(run_every="20s")
def follow_new_versions() -> None:
    """Run the page again when a load has published another version meanwhile."""
    if st.session_state.pop(IS_NEW, False):  # the run itself has just looked
        return
    try:
        found = str(version(database_folder()))
    except UserError:
        return
    if st.session_state.get(VERSION) != found:
        st.rerun()
