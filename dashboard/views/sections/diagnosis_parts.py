"""Section: replaced parts, what the readings said of them, and what the untested ones cost."""

import pandas as pd
import streamlit as st

from dashboard.diagnosis.comparison import compared
from dashboard.evidence.compute import judged
from dashboard.rows import each_row
from dashboard.text import format as words
from dashboard.ui import columns, widgets
from dashboard.ui.by_click import set_choice
from dashboard.ui.page import Page

REPLACED = {
    "replaced": columns.count("Replaced"),
    "untested": columns.text("Not tested", help="no test was made that can see it fail"),
}
TECHNICIANS = {
    "label": columns.text("Technician"),
    **REPLACED,
    "expected": columns.count("Expected", help="from the rest of the shop, same work"),
    "verdict_words": columns.text("Compared with expected"),
}
DETAILS = {
    "label": columns.text("Replaced"),
    "supported": columns.count("Supported", help="readings speak for the part"),
    "unclear": columns.count("Unclear", help="readings decide little"),
    "against": columns.count("Against", help="readings speak strongly against it"),
    "words": columns.text("Not tested (95% interval)"),
}


def draw_parts(page: Page) -> str | None:
    """List replaced parts, the costliest guesses first; return the component chosen."""
    st.subheader("Which parts")
    parts = page.rows("diagnosis_parts")
    if parts.empty:
        st.info("No replaced part that can be tested is in this filter.")
        return None
    component = _chosen(page, parts)
    if component is not None:
        parts = page.rows("diagnosis_parts", component=component)
    listed = _worded(page, parts, component)
    shown = _parts_shown(page) if component is None else TECHNICIANS
    row = widgets.clicked_row(listed, shown, f"part_rows_{component}")
    st.caption(
        ("Click a part to see it by technician and its jobs below. " if component is None else "")
        + "Parts that no listed test can see fail are left out. A technician also looks and "
        "listens, so a part that was not tested may still be right."
    )
    with st.expander("Details"):
        detail = widgets.clicked_row(listed, DETAILS, f"part_details_{component}")
    row = detail if row is None else row
    if row is not None and component is None:
        st.session_state["part_wanted"] = listed["group"].iloc[row]
        st.rerun()
    return component


def _parts_shown(page: Page) -> columns.Columns:
    return {
        "label": columns.text("Part"),
        **REPLACED,
        "right": columns.text("Were right", help="of the parts whose outcome is known"),
        "cost": columns.money("Cost of untested parts", page.currency),
    }


def _chosen(page: Page, parts: pd.DataFrame) -> str | None:
    set_choice("part", st.session_state.pop("part_wanted", None), "row")
    return st.selectbox(
        "Part",
        [None, *parts["group"]],
        format_func=lambda part: "all parts" if part is None else page.labels.of("component", part),
        key="part",
        bind="query-params",
    )


def _worded(page: Page, parts: pd.DataFrame, component: str | None) -> pd.DataFrame:
    field = "component" if component is None else "technician"
    strata = pd.DataFrame() if component is None else page.rows("part_strata", component=component)
    parts = judged(parts, strata, "not_tested", "replaced")
    parts = parts.assign(label=[page.labels.of(field, group) for group in parts["group"]])
    parts = compared(parts, "not_tested", "replaced", page.settings["min_jobs"])
    rows = list(each_row(parts))
    return parts.assign(
        untested=[f"{row.not_tested:,} ({words.percent(row.rate)})" for row in rows],
        right=[f"{row.held:,} of {row.judged:,}" for row in rows],
    ).sort_values(
        ["cost", "not_tested", "label"], ascending=[False, False, True], ignore_index=True
    )
