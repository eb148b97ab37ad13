"""The common filters: drawn at the side, kept in the URL and from page to page, shown as chips."""

from datetime import date
from typing import Any

import pandas as pd
import streamlit as st

from dashboard.access.reader import reader
from dashboard.database.labels import Labels
from dashboard.filters import Filters
from dashboard.text.escape_markdown import verbatim
from dashboard.text.format import day, listed

NAMES = {
    "branch": "Branch",
    "technician": "Technician",
    "appliance_kind": "Appliance",
    "symptom": "Complaint",
}
DATES = {"from": "Closed from", "to": "to"}
LABELS = {"from": "Closed from", "to": "Closed to"}
KEPT = "kept_filters"  # what was chosen last, for pages that draw no filters in between


def sidebar(choices: pd.DataFrame, labels: Labels) -> Filters:
    """Draw the filters and return what is chosen; every choice is a parameter of the URL.

    `choices`: columns filter, value. A filter that offers nothing is not drawn. A value in the URL
    that these records do not hold is reported and left out.
    """
    offered = {name: choices.loc[choices["filter"] == name, "value"].tolist() for name in NAMES}
    _report_unknown(offered)
    for key, value in st.session_state.get(KEPT, {}).items():
        if key not in st.session_state and key not in st.query_params:
            st.session_state[key] = value
    with st.sidebar:
        st.subheader("Filters")
        first, last = _dates()
        chosen = {
            name: _choice(name, title, offered[name], labels)
            for name, title in NAMES.items()
            if offered[name]
        }
    st.session_state[KEPT] = {"from": first, "to": last} | {k: list(v) for k, v in chosen.items()}
    return Filters(from_date=_day(first), to_date=_day(last), **chosen)


def _dates() -> list[Any]:
    return [st.date_input(LABELS[key], value=None, key=key, bind="query-params") for key in DATES]


def _choice(name: str, title: str, options: list[str], labels: Labels) -> tuple[str, ...]:
    return tuple(
        st.multiselect(
            title,
            options=options,
            key=name,
            bind="query-params",
            format_func=lambda value: labels.of(name, value),
            placeholder="All",
        )
    )


def _report_unknown(offered: dict[str, list[str]]) -> None:
    """Say which values of the link are not in these records; no name to who sees no names."""
    unknown = [
        f"“{value}”" if reader().sees_names or name != "technician" else "a technician"
        for name, options in offered.items()
        for value in st.query_params.get_all(name)
        if options and value not in options
    ]
    if unknown:
        names = listed(unknown)
        st.warning(verbatim(f"This link asks for {names}, which these records do not hold."))


def _day(value: object) -> date | None:
    return value if isinstance(value, date) else None


def chips(filters: Filters, labels: Labels) -> None:
    """Show each chosen filter as a button that removes it, and one that removes them all."""
    chosen = _chosen(filters, labels)
    if not chosen:
        return
    with st.container(horizontal=True, key="filter_chips"):
        for key, text in chosen.items():
            st.button(
                verbatim(text),
                key=f"chip_{key}",
                icon=":material/close:",
                help="Remove this filter",
                on_click=clear,
                args=[[key]],
            )
        st.button("Reset filters", key="chip_all", on_click=clear, args=[list(chosen)])


def _chosen(filters: Filters, labels: Labels) -> dict[str, str]:
    dates = {"from": filters.from_date, "to": filters.to_date}
    words = {key: f"{DATES[key]} {day(value)}" for key, value in dates.items() if value}
    for name, title in NAMES.items():
        if values := getattr(filters, name):
            words[name] = f"{title}: {listed([labels.of(name, v) for v in values], 'or')}"
    return words


def clear(keys: list[str]) -> None:
    """Remove these filters; runs before the widgets are drawn."""
    for key in keys:
        st.session_state[key] = None if key in DATES else []
        st.session_state.get(KEPT, {}).pop(key, None)


def sentence(filters: Filters, labels: Labels, first: date | None, last: date | None) -> str:
    """Say which jobs are shown, for a page, a file or a printed sheet."""
    start, end = filters.from_date or first, filters.to_date or last
    parts = [f"Jobs closed {day(start)} to {day(end)}" if start and end else "All jobs"]
    for name, title in NAMES.items():
        values = getattr(filters, name)
        if values:
            words = listed([labels.of(name, value) for value in values], "or")
            parts.append(f"{title.lower()} {words}")
    return ", ".join(parts) + "."
