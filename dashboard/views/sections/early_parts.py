"""The section on part numbers that fail early: which, against what, and their curve."""

import pandas as pd
import streamlit as st

from dashboard.callbacks import charts as charts_callbacks
from dashboard.callbacks import curves
from dashboard.fairness import sentences as fairness_words
from dashboard.fairness.early_parts import LEAST_PART_JOBS
from dashboard.text import format as words
from dashboard.text.escape_markdown import verbatim
from dashboard.ui import widgets
from dashboard.ui.page import Page

SHOWN = {
    "part_no": st.column_config.TextColumn("Part number"),
    "component_label": st.column_config.TextColumn("Component"),
    "kind": st.column_config.TextColumn("Appliance"),
    "told": st.column_config.TextColumn("Came back", width="medium"),
    "expected": st.column_config.NumberColumn(
        "Expected", format="%.1f", help="returns within a year, if like its other numbers"
    ),
    "yardstick": st.column_config.TextColumn("Yardstick", width="medium"),
    "chance": st.column_config.TextColumn("By chance alone", help="as many callbacks or more"),
    "returns": st.column_config.NumberColumn("Back within a year"),
    "adjusted_p": st.column_config.NumberColumn(
        "Over all parts", format="%.3f", help="chance that any part looks so bad without being so"
    ),
}


def show(page: Page, parts: pd.DataFrame, window_days: int) -> None:
    """Say which part numbers come back too often, draw the worst one's curve, list the rest.

    `parts` is the measure early_parts.
    """
    st.subheader("Parts that fail early")
    if parts.empty:
        st.caption("No part line belongs to a repair that is old enough and on a known appliance.")
        return
    parts = _labelled(parts, page)
    flagged = parts[parts["flagged"]]
    asked = int(parts["p_value"].notna().sum())
    if flagged.empty:
        st.markdown(
            f"No part number stands out: {asked:,} were fitted in "
            f"{LEAST_PART_JOBS} jobs or more and asked."
        )
    for row in flagged.itertuples(index=False):
        st.markdown(_sentence(row, window_days))
    if not flagged.empty:
        _draw_curve(flagged.sort_values("p_value").iloc[0], page)
    st.caption(
        f"{len(parts):,} part numbers, {asked:,} asked at once: a shop without a bad part sees one "
        "named here in at most 1 of 20 cases (log-rank test against the other numbers of the same "
        "component and appliance; Holm's step-down for counts). A part without an alternative "
        "cannot be judged."
    )
    with st.expander("Every part number"):
        widgets.table(parts.sort_values(["p_value", "part_no"], na_position="last"), SHOWN)
    hidden = ["component_label", "kind", "told", "yardstick", "chance"]
    widgets.download(parts.drop(columns=hidden), "early_parts")
    widgets.how_counted("early_parts")


def _labelled(parts: pd.DataFrame, page: Page) -> pd.DataFrame:
    rows = list(parts.itertuples(index=False))
    return parts.assign(
        kind=[page.labels.of("appliance_kind", row.appliance_kind) for row in rows],
        component_label=[page.labels.of("component", row.component) for row in rows],
        told=[words.rate(row.callbacks, row.jobs, row.low, row.high) for row in rows],
        yardstick=[
            f"its other numbers: {row.other_callbacks:,} of {row.other_jobs:,}"
            if row.other_jobs
            else "no other number"
            for row in rows
        ],
        chance=[fairness_words.chance(row.p_value) for row in rows],
    )


def _sentence(row: tuple, window_days: int) -> str:
    adjusted = fairness_words.chance(row.adjusted_p)
    return (
        f"**{verbatim(row.part_no)}** ({row.component_label}, {verbatim(row.kind)}): "
        f"{row.told} came back within {window_days} days ({row.yardstick}). Followed for up to a "
        f"year, {row.returns:,} came back where {row.expected:,.1f} are expected. By chance alone: "
        f"{row.chance}; that any of all parts checked looks so bad: {adjusted}."
    )


def _draw_curve(row: pd.Series, page: Page) -> None:
    curve = curves.free_curve(
        page.rows(
            "part_curve", part_no=row.part_no, kind=row.appliance_kind, component=row.component
        )
    )
    widgets.chart(
        charts_callbacks.part_curve(curve, row.part_no),
        alt=f"Repairs without a callback by day, with {row.part_no} and with the other numbers of "
        f"the {row.component_label}.",
        key="part_curve",
    )
    st.caption(f"With {verbatim(row.part_no)}, and with the other numbers of the same component.")
