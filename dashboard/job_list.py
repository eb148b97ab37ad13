"""The jobs behind a number: chosen by a click on the chart or from a list, each with a link."""

from collections.abc import Sequence
from typing import Any

import pandas as pd
import streamlit as st

from dashboard import page, words
from dashboard.job_links import JOB_COLUMN, with_links
from dashboard.labels import Labels

ALL = "all of them"
NAMED = ["appliance_kind", "symptom", "cause"]  # what has a label of its own
SHOWN = {
    "job_id": JOB_COLUMN,
    "closed_on": st.column_config.DateColumn("Closed"),
    "technician": st.column_config.TextColumn("Technician"),
    "kind": st.column_config.TextColumn("Appliance"),
    "complaint": st.column_config.TextColumn("Complaint"),
    "cause_label": st.column_config.TextColumn("Root cause", width="medium"),
    "attended_visits": st.column_config.NumberColumn("Visits"),
    "labour_min": st.column_config.NumberColumn("Minutes", format="%.0f"),
    "charged": st.column_config.NumberColumn("Charged", format="%.2f"),
    "callback_days": st.column_config.NumberColumn("Back after days"),
}


def clicked(event: Any, field: str) -> str | None:
    """Return what a click on a chart chose: the point's x, y, or first custom value; else None."""
    points = (event or {}).get("selection", {}).get("points", []) if event else []
    if not points:
        return None
    value = points[0].get(field)
    return str(value[0] if isinstance(value, list | tuple) else value)


def choose(title: str, options: Sequence[str], click: str | None, key: str, label=str) -> str:
    """Let the reader choose one option, by the list or by a click that came before it."""
    if click in options and click != st.session_state.get(f"{key}_click"):
        st.session_state[key] = click
    st.session_state[f"{key}_click"] = click
    return st.selectbox(title, [ALL, *options], format_func=label, key=key)


def show(jobs: pd.DataFrame, labels: Labels) -> None:
    """Show jobs, newest first; without any, say so."""
    if jobs.empty:
        st.caption("No job.")
        return
    st.markdown(f"{words.counted(len(jobs), 'job')}. A number opens it with readings and parts.")
    named = jobs.merge(_named(jobs, labels), how="left", on=NAMED)
    page.table(with_links(named), SHOWN)


def _named(jobs: pd.DataFrame, labels: Labels) -> pd.DataFrame:
    """Return each appliance, complaint and cause that the jobs have together, with its labels."""
    found = jobs[NAMED].drop_duplicates()
    rows = list(found.itertuples(index=False))
    return found.assign(
        kind=[labels.of("appliance_kind", row.appliance_kind) for row in rows],
        complaint=[labels.of("symptom", row.symptom, row.appliance_kind) for row in rows],
        cause_label=[
            None
            if words.is_missing(row.cause)
            else labels.of("cause", row.cause, row.appliance_kind)
            for row in rows
        ],
    )
