"""The invented sample shop from the pages: loaded into an empty folder, and removed."""

from importlib.resources import as_file, files
from pathlib import Path

import streamlit as st

from dashboard.access.queries import check_page
from dashboard.access.reader import reader
from dashboard.errors import UserError
from dashboard.notes.sample import forget_sample, note_sample
from dashboard.settings.file import for_load, read_settings
from dashboard.text.escape_markdown import verbatim
from etl.folder.sample import holds_only_sample, remove_sample
from etl.folder.versions import current


def offer_sample(folder: Path) -> None:
    """Offer to load the sample shop into a folder that holds nothing."""
    if not _is_empty(folder):
        return
    st.markdown(
        "No export at hand? Look around in a shop that is made up; you can remove it later."
    )
    if not st.button("Try the sample shop", icon=":material/science:", key="try_sample"):
        return
    check_page(reader(), "add_records")
    from etl.load import load  # slow to import, and seldom needed

    try:
        with st.spinner("Loading the invented sample shop"), as_file(files("sample_data")) as place:
            load([place], folder, settings=for_load(read_settings(folder)))
        note_sample(folder)
    except UserError as problem:
        st.error(verbatim(problem))
    else:
        st.rerun()


def offer_removal(folder: Path) -> None:
    """Offer to remove the sample shop before own records are added."""
    version = current(folder)
    if version is None or not holds_only_sample(version):
        return
    st.info("These are the records of the invented sample shop. Remove them before you add yours.")
    if st.button("Remove the sample shop", key="remove_sample"):
        check_page(reader(), "add_records")
        try:
            remove_sample(folder)
            forget_sample(folder)
        except UserError as problem:
            st.error(verbatim(problem))
        else:
            st.rerun()


def _is_empty(folder: Path) -> bool:
    try:
        return current(folder) is None
    except UserError:
        return False
