"""A load on its page: what it is doing, the button that stops it, and how it ended."""

from pathlib import Path

import pandas as pd
import streamlit as st

from dashboard.access.queries import check_page
from dashboard.access.reader import reader
from dashboard.errors import UserError
from dashboard.loading.process import RunningLoad
from dashboard.settings.file import database_folder, for_load, read_settings
from dashboard.text import format as words
from dashboard.text.escape_markdown import verbatim
from dashboard.ui import widgets
from etl.load_report import Account, FileAccount
from etl.mapping.mapping import Mapping

TABLE_NAMES = {
    "jobs": "jobs",
    "visits": "visits",
    "readings": "readings",
    "part_lines": "parts fitted",
}
RUNNING, ASKED, UPLOADED = "running_load", "asked_options", "uploaded_files"
DECISIONS = {
    "allows_fewer": "Load although fewer jobs would be left",
    "allows_missing": "Load although columns are missing",
}
STORED_ROWS = {
    "ask": "not decided",
    "reread": "read the stored rows again by the new mapping",
    "keep": "leave the stored rows as they are",
}


def running() -> RunningLoad | None:
    """Return this reader's load, running or ended; None before the first."""
    return st.session_state.get(RUNNING)


def is_busy() -> bool:
    """Say whether this reader's load is still running."""
    load = running()
    return load is not None and load.end is None


def choose_decisions() -> None:
    """Offer what the last check or load asked to be decided."""
    load = running()
    if load and load.end:
        asked = load.end.account.asked if load.end.account else ()
        options = {load.end.option, *(option for option, _ in asked)} - {""}
        st.session_state[ASKED] = st.session_state.get(ASKED, set()) | options
    for option in sorted(st.session_state.get(ASKED, set())):
        if option == "stored_rows":
            label = "Stored rows of this mapping"
            st.radio(label, STORED_ROWS, format_func=STORED_ROWS.get, key=option)
        else:
            st.checkbox(DECISIONS[option], key=option)


def decided() -> dict[str, object]:
    """Return what was decided, by field of LoadOptions."""
    asked = st.session_state.get(ASKED, set())
    return {o: st.session_state[o] for o in asked if o in st.session_state}


def forget() -> None:
    """Show an ended load no longer: other files were chosen."""
    if not is_busy():
        for key in (RUNNING, ASKED, UPLOADED):
            st.session_state.pop(key, None)


def start(paths: list[Path], mapping: Mapping | None, keep_as: Path | None, is_check: bool) -> None:
    """Start a check or a load of the files; raise Refused for a reader who may not."""
    check_page(reader(), "add_records")
    folder = database_folder()
    try:
        st.session_state[RUNNING] = RunningLoad(
            paths, folder, mapping, keep_as, for_load(read_settings(folder)), is_check,
            decided(),
        )  # fmt: skip
        st.session_state[UPLOADED] = [path.name for path in paths]
    except UserError as problem:
        st.error(verbatim(problem))
        return
    st.rerun()


def show() -> None:
    """Show what the load is doing, or how it ended; nothing before the first."""
    load = running()
    if load is None:
        return
    if load.end is None:
        watch()
    elif load.end.problem:
        st.error(verbatim(load.end.problem))
    elif load.end.stopped:
        st.info(verbatim(f"{'Check' if load.is_check else 'Load'} {load.end.stopped}."))
    elif load.end.account:
        if load.is_check:
            st.subheader("What would become of every row")
        else:
            st.success("Loaded: the pages show it now.")
        show_account(load.end.account)


@st.fragment(run_every="0.5s")
def watch() -> None:
    """Follow the load step by step, with a button that stops it."""
    load = running()
    if load is None or load.end is not None:
        st.rerun()
    doing = "Stopping" if load.is_stopping else "Checking" if load.is_check else "Loading"
    st.status(verbatim(f"{doing}: {load.step.replace('_', ' ')}"), expanded=False)
    st.button("Stop", disabled=load.is_stopping, key="stop_load", on_click=load.stop)


def show_account(account: Account) -> None:
    """Show what would become of every row, and why rows would wait."""
    rows = [
        {
            "File": file.file + (f" [{file.sheet}]" if file.sheet else ""),
            "Holds": TABLE_NAMES[file.table],
            "Rows read": file.read,
            "Loaded": file.loaded,
            "Duplicate": file.duplicate,
            "Superseded": file.superseded,
            "In quarantine": file.quarantined,
            "Why": "; ".join([*reasons_of(file), *missing_of(file), *file.notes]),
        }
        for file in account.files
    ]
    widgets.table(pd.DataFrame(rows))
    for _, message in account.asked:
        st.warning(verbatim(f"To decide: {message}"))
    if account.carried:
        st.info(verbatim(account.carried))
    if uploaded := st.session_state.get(UPLOADED):
        st.caption(verbatim(uploaded_line(uploaded, account)))


def uploaded_line(uploaded: list[str], account: Account) -> str:
    """Compare what was uploaded with what was read, file by file."""
    names = [file.file for file in account.files]
    unread = [name for name in dict.fromkeys(uploaded) if name not in names]
    left = f"; not read: {', '.join(unread)}" if unread else ""
    count = words.counted(len(uploaded), "file")
    return f"{count} uploaded: {', '.join(uploaded)}{left}."


def reasons_of(file: FileAccount) -> list[str]:
    """Write each reason for quarantine with its rows."""
    return [f"{n:,} × {code.replace('_', ' ')}" for code, n in file.reasons.items()]


def missing_of(file: FileAccount) -> list[str]:
    """Write which columns of the mapping the file lacks."""
    return [f"{file.missing}: not in this file"] if file.missing else []
