"""The common filters: sidebar → Filters, kept in the URL and across pages."""

from datetime import date

import pandas as pd
import streamlit as st

from dashboard.database.labels import Labels
from dashboard.filters import Filters
from dashboard.text.format import listed

NAMES = {
    "branch": "Branch",
    "technician": "Technician",
    "appliance_kind": "Appliance",
    "symptom": "Complaint",
}


def sidebar(choices: pd.DataFrame, labels: Labels) -> Filters:
    """Draw the filters and return what is chosen; every choice is a parameter of the URL.

    A filter that offers nothing is not drawn.
    """
    offered = set(choices["filter"])
    with st.sidebar:
        st.subheader("Which jobs")
        left, right = st.columns(2)
        with left:
            first = st.date_input("Closed from", value=None, key="from", bind="query-params")
        with right:
            last = st.date_input("to", value=None, key="to", bind="query-params")
        chosen = {
            name: tuple(
                st.multiselect(
                    title,
                    options=choices.loc[choices["filter"] == name, "value"].tolist(),
                    key=name,
                    bind="query-params",
                    format_func=lambda value, name=name: labels.of(name, value),
                    placeholder="all",
                )
            )
            for name, title in NAMES.items()
            if name in offered
        }
    return Filters(from_date=_day(first), to_date=_day(last), **chosen)


def _day(value: object) -> date | None:
    return value if isinstance(value, date) else None


def sentence(filters: Filters, labels: Labels, first: date | None, last: date | None) -> str:
    """Say in words which jobs are shown."""
    start, end = filters.from_date or first, filters.to_date or last
    parts = [f"Jobs closed {start:%Y-%m-%d} to {end:%Y-%m-%d}" if start and end else "All jobs"]
    for name, title in NAMES.items():
        values = getattr(filters, name)
        if values:
            words = listed([labels.of(name, value) for value in values], "or")
            parts.append(f"{title.lower()} {words}")
    return ", ".join(parts) + "."
