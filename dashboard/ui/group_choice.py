"""The choice of what to compare by, kept in the URL."""

from collections.abc import Iterable

import streamlit as st

from dashboard.ui.group_table import GROUP_TITLES


def compare_by(default: str, groups: Iterable[str] = GROUP_TITLES) -> str:
    """Let the reader choose one of the groups."""
    chosen: str = st.segmented_control(
        "Compare by",
        list(groups),
        default=default,
        format_func=GROUP_TITLES.__getitem__,
        key="by",
        bind="query-params",
        required=True,
    )
    return chosen
