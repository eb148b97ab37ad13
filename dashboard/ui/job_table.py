"""The jobs behind a number: chosen by a click on the chart or from a list, each with a link."""

from collections.abc import Callable, Sequence
from typing import Any

import pandas as pd
import streamlit as st

from dashboard.database.labels import Labels
from dashboard.text import format as words
from dashboard.ui import navigation, widgets
from dashboard.ui.by_click import set_choice

ALL = "all of them"
SHOWN = {
    "job_id": st.column_config.TextColumn("Job"),
    "closed_on": st.column_config.DateColumn("Closed", format="MMM D, YYYY"),
    "complaint": st.column_config.TextColumn("Complaint"),
    "cause_label": st.column_config.TextColumn("Root cause"),
    "happened": st.column_config.TextColumn("Visits and returns"),
}


def choose(
    title: str,
    options: Sequence[str],
    click: str | None,
    key: str,
    label: Callable[[Any], str] = str,
) -> str:
    """Let the reader choose one option, by the list or by a click that came before it."""
    set_choice(key, click if click in options else None, "chart")
    return st.selectbox(title, [ALL, *options], format_func=label, key=key)


def show(jobs: pd.DataFrame, labels: Labels, title: str = "the list", key: str = "jobs") -> None:
    """Show jobs, newest first; a click on a row opens the job. Without any, say so.

    `jobs`: columns job_id, closed_on, technician, appliance_kind, symptom, cause, attended_visits,
    labour_min, charged, callback_days. `title`: what the list is, as in "Back to …".
    """
    if jobs.empty:
        st.caption("No job.")
        return
    st.markdown(f"{words.counted(len(jobs), 'job')}. Click a job to open it.")
    jobs = widgets.listed(jobs)
    kinds = jobs["appliance_kind"]
    complaints = zip(
        labels.column("appliance_kind", kinds, kinds),
        labels.column("symptom", jobs["symptom"], kinds),
        strict=True,
    )
    named = jobs.assign(
        complaint=[": ".join(filter(None, each)) for each in complaints],
        cause_label=labels.column("cause", jobs["cause"], kinds),
        happened=[
            happened(*row)
            for row in zip(
                jobs["attended_visits"], jobs["technician"], jobs["callback_days"], strict=True
            )
        ],
    )
    opening(named, SHOWN, title, key)


def happened(visits: int | None, technician: str | None, callback_days: int | None) -> str:
    """Write "2 visits by Ann, back after 12 days"."""
    summary = "visits not recorded" if words.is_missing(visits) else words.counted(visits, "visit")
    if not words.is_missing(technician):
        summary += f" by {technician}"
    if not words.is_missing(callback_days):
        summary += f", back after {words.counted(callback_days, 'day')}"
    return summary


def opening(jobs: pd.DataFrame, columns: dict[str, Any], title: str, key: str) -> None:
    """Show a table with a column job_id; a click on a row opens that job, in this tab.

    `title`: what the list is, as in "Back to …"; `key`: unique on the page.
    """
    row = widgets.clicked_row(jobs, columns, key)
    if row is not None:
        numbers = [str(number) for number in jobs["job_id"]]
        navigation.open_job(numbers[row], title, numbers, st.session_state["page"].name)
