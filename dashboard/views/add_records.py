"""Add records: upload exports, see how they are understood, answer what is asked, load."""

import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pandas as pd
import streamlit as st

from dashboard.errors import UserError
from dashboard.loading import panel as load_panel
from dashboard.loading.answers import answer_words, joined
from dashboard.loading.kept_mappings import kept_mappings
from dashboard.loading.new_source import ANSWERED, own_mapping
from dashboard.loading.sample import offer_removal, offer_sample
from dashboard.loading.uploads import LIMITS, refusal, saved
from dashboard.text.escape_markdown import verbatim
from dashboard.ui import shell, widgets
from dashboard.ui.page import Page
from etl.load_report import Account
from etl.mapping.file_name import mapping_file_name
from etl.mapping.given_header import read_by
from etl.mapping.mapping import Mapping, bundled_mappings
from etl.mapping.match import mapping_of
from etl.mapping.toml_writer import mapping_text
from etl.read import SourceTable, read_tables

TITLE = "Add records"
KEPT_BYTES = 50 << 20  # of uploads whose tables stay in the session between two clicks
READ, JOINED = "read_uploads", "joined_names"


def draw(page: Page) -> None:
    """Draw the page."""
    uploads = choose_files(page)
    with tempfile.TemporaryDirectory(prefix="ohmhours-") as scratch:
        add(saved(uploads, Path(scratch)), page, is_small(uploads))


def choose_files(page: Page) -> Any:
    """Let the reader upload files; without any show the kept sources, and stop."""
    page.title(TITLE)
    offer_removal(page.folder)
    st.markdown(
        "Upload the exports your shop already has: CSV, Excel, JSON, JSON Lines or Parquet, "
        "several at once. You see what becomes of every row before anything is loaded. "
        "Names, addresses, phones and serial numbers are turned into keys and never kept as "
        "written."
    )
    uploads = st.file_uploader(
        "Exports",
        accept_multiple_files=True,
        key="uploads",
        label_visibility="collapsed",
        on_change=forget,
    )
    if not uploads:
        load_panel.show()
        offer_sample(page.folder)
        kept_mappings(page)
        st.markdown("`ohmhours load --check FOLDER` does the same without a browser.")
        st.stop()
    if too_much := refusal(uploads):
        st.error(too_much)
        st.stop()
    return uploads


def forget() -> None:
    """Forget what was read and answered: other files were chosen."""
    load_panel.forget()
    for key in [READ, ANSWERED, JOINED, *st.session_state]:
        if key in (READ, ANSWERED, JOINED) or str(key).startswith("proposed_"):
            st.session_state.pop(key, None)


def is_small(uploads: Sequence[Any]) -> bool:
    """Say whether the tables of the uploads may stay in memory between two clicks."""
    size: int = sum(upload.size for upload in uploads)
    return size <= KEPT_BYTES


def read_uploads(
    paths: list[Path], mappings: Sequence[Mapping], keeps: bool
) -> dict[int, list[SourceTable]]:
    """Read every table of the uploads, by the place of the upload; say which cannot be used."""
    if READ in st.session_state:
        tables, problems = st.session_state[READ]
    else:
        tables, problems = dict[int, list[SourceTable]](), list[str]()
        for place, path in enumerate(paths):
            try:
                _, tables[place] = read_by(path, mappings, LIMITS, read_tables)
            except UserError as error:
                problems.append(str(error))
        if keeps:
            st.session_state[READ] = tables, problems
    for problem in problems:
        st.error(verbatim(problem))
    return tables


def add(paths: list[Path], page: Page, keeps: bool) -> None:
    """Show how the files are understood, then check or load them."""
    try:
        mappings = bundled_mappings(page.folder / "mappings")
    except UserError as error:
        st.error(verbatim(error))
        return
    tables = read_uploads(paths, mappings, keeps)
    if not tables:
        return
    paths = [paths[place] for place in tables]
    unknown = [
        (path, source)
        for path, found in zip(paths, tables.values(), strict=True)
        for source in found
        if not is_known(source, mappings)
    ]
    mapping, problem = own_mapping(unknown, mappings) if unknown else (None, "")
    if problem:
        st.warning(verbatim(problem))
    offer_load(paths, mapping, page, is_locked=bool(problem) or load_panel.is_busy())


def is_known(source: SourceTable, mappings: Sequence[Mapping]) -> bool:
    """Say by which kept mapping a source is read, if any."""
    found = mapping_of(source, mappings)
    if found is None:
        return False
    sheet = f", sheet {source.sheet}" if source.sheet else ""
    st.markdown(
        f"**{verbatim(source.file + sheet)}** is read as the source "
        f"“{verbatim(found[0].title or found[0].name)}”."
    )
    return True


def offer_load(paths: list[Path], mapping: Mapping | None, page: Page, is_locked: bool) -> None:
    """Offer to check and to load; then show how it ended, and what can be answered."""
    keep_as = page.folder / "mappings" / mapping_file_name(mapping.name) if mapping else None
    load_panel.choose_decisions()
    left, right = st.columns([1, 1])
    if left.button("See what would happen", disabled=is_locked, width="stretch"):
        load_panel.start(paths, mapping, keep_as, is_check=True)
    if right.button("Load", type="primary", disabled=is_locked, width="stretch"):
        load_panel.start(paths, mapping, keep_as, is_check=False)
    load_panel.show()
    running = load_panel.running()
    ended = running.end if running else None
    if mapping and ended and ended.account and not ended.account.published:
        choose_words(ended.account)
    if mapping:
        widgets.offer(
            "Download how it is read (mapping)",
            mapping_text(mapping),
            mapping_file_name(mapping.name),
            "application/toml",
        )


def choose_words(account: Account) -> None:
    """Let the reader give unknown words a meaning; kept with the source."""
    if not account.unknown_words:
        return
    st.subheader("Words we do not know")
    st.caption(
        "Those at the top hold jobs back; the others leave their field empty. Your answers are "
        "used at the next check or load."
    )
    columns = ["field", "appliance_kind", "text", "rows"]
    unknown = pd.DataFrame(account.unknown_words, columns=columns)
    chosen = answer_words(unknown.assign(jobs_held=list(account.jobs_held)), "words")
    st.session_state[ANSWERED] = joined(st.session_state.get(ANSWERED, {}), chosen)


if __name__ == "__main__":
    shell.show(draw)
