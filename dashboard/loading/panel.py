"""A load on its page: what it is doing, the button that stops it, and how it ended."""

from pathlib import Path

import pandas as pd
import streamlit as st

from dashboard.access.policy import check_page
from dashboard.access.reader import reader
from dashboard.errors import UserError
from dashboard.loading.process import RunningLoad
from dashboard.settings.file import database_folder, for_load, read_settings
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
RUNNING = "running_load"


def running() -> RunningLoad | None:
    """Return this reader's load, running or ended; None before the first."""
    return st.session_state.get(RUNNING)


def is_busy() -> bool:
    """Say whether this reader's load is still running."""
    load = running()
    return load is not None and load.end is None


def forget() -> None:
    """Show an ended load no longer: other files were chosen."""
    if not is_busy():
        st.session_state.pop(RUNNING, None)


def start(paths: list[Path], mapping: Mapping | None, keep_as: Path | None, is_check: bool) -> None:
    """Start a check or a load of the files beside the pages; raise Refused for who may not."""
    check_page(reader(), "add_records")
    folder = database_folder()
    try:
        st.session_state[RUNNING] = RunningLoad(
            paths, folder, mapping, keep_as, for_load(read_settings(folder)), is_check
        )
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
    elif load.is_check:
        st.subheader("What would become of every row")
        show_account(load.end.account)
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
            "Why": "; ".join([*reasons_of(file), *file.notes]),
        }
        for file in account.files
    ]
    widgets.table(pd.DataFrame(rows))


def reasons_of(file: FileAccount) -> list[str]:
    """Write each reason for quarantine with its rows."""
    return [f"{n:,} × {code.replace('_', ' ')}" for code, n in file.reasons.items()]
