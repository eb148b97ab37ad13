"""The section on part numbers that fail early: which, against what, and their curve."""

from typing import Any

import pandas as pd
import streamlit as st

from dashboard.callbacks import charts as charts_callbacks
from dashboard.callbacks import curves
from dashboard.fairness import sentences as fairness_words
from dashboard.fairness.early_parts import LEAST_PART_JOBS
from dashboard.month.sentences import normal
from dashboard.rows import Row, each_row
from dashboard.text import format as words
from dashboard.text.escape_markdown import verbatim
from dashboard.ui import columns, navigation, widgets
from dashboard.ui.page import Page

SHOWN = {
    "part_no": columns.text("Part number"),
    "name": columns.text("Part"),
    "found": columns.text("Came back"),
    "returns": columns.count("Back in a year"),
    "expected": columns.count(
        "Expected", 1, help="in a year, if it were like the other numbers of the same part"
    ),
}
DETAILS = {
    "part_no": columns.text("Part number"),
    "name": columns.text("Part"),
    "compared": columns.text("Compared with"),
    "chance": columns.text("By chance alone", help="as many returns or more"),
    "adjusted_p": columns.count(
        "Over all parts", 3, help="chance that some part looks this bad by luck alone"
    ),
}


def show(page: Page, parts: pd.DataFrame, window_days: int) -> None:
    """Say which part numbers come back too often, draw the worst one's curve, list the rest.

    `parts` is the measure early_parts.
    """
    st.subheader("Parts that fail early")
    if parts.empty:
        st.caption("No part was fitted on a repair past the window and on a known appliance.")
        return
    parts = _labelled(parts, page).sort_values(["p_value", "part_no"], na_position="last")
    flagged = parts[parts["flagged"]]
    asked = int(parts["p_value"].notna().sum())
    if flagged.empty:
        st.markdown(
            f"**No part number stands out** of {asked:,} fitted in {LEAST_PART_JOBS} jobs or more."
        )
    for row in each_row(flagged):
        st.markdown(_sentence(row, window_days))
    if not flagged.empty:
        _draw_curve(flagged.iloc[0], page)
    st.caption("Click a part to see its jobs that came back.")
    chosen = widgets.clicked_row(parts, SHOWN, "early_parts")
    if chosen is not None:
        returns_of(parts.iloc[chosen])
    only_shown = ["name", "found", "compared", "chance"]
    widgets.download(parts, "early_parts", SHOWN, only_shown)
    with st.expander("Details: how a part is judged"):
        st.caption(
            f"{len(parts):,} part numbers, {asked:,} checked at once: a shop without a bad part "
            "sees one named here in at most 1 of 20 cases (log-rank test against the other numbers "
            "of the same part and appliance; Holm's step-down for counts). A part without an "
            "alternative cannot be judged."
        )
        row = widgets.clicked_row(parts, DETAILS, "early_parts_details")
        if row is not None:
            returns_of(parts.iloc[row])
        widgets.how_counted("early_parts", within=True)


def returns_of(part: Any) -> None:
    """Open the jobs with a part number that came back within a year."""
    navigation.go(
        "jobs", list="early_returns", part_no=part.part_no, kind=part.appliance_kind,
        component=part.component,
    )  # fmt: skip


def _labelled(parts: pd.DataFrame, page: Page) -> pd.DataFrame:
    rows, labels = list(each_row(parts)), page.labels
    return parts.assign(
        name=[
            f"{labels.of('component', r.component, r.appliance_kind)}, "
            f"{labels.of('appliance_kind', r.appliance_kind)}"
            for r in rows
        ],
        found=[words.rate(r.callbacks, r.jobs, r.low, r.high) for r in rows],
        compared=[
            f"other part numbers: {r.other_callbacks:,} of {r.other_jobs:,}"
            if r.other_jobs
            else "no other part number"
            for r in rows
        ],
        chance=[fairness_words.chance(r.p_value) for r in rows],
    )


def _sentence(row: Row, window_days: int) -> str:
    return (
        f"**{verbatim(row.part_no)}** ({verbatim(row.name)}): {row.found}, came back within "
        f"{window_days} days ({row.compared}). Within a year {row.returns:,} came back; "
        f"{normal(row.expected)} is normal. Chance that some part looks this bad by luck alone: "
        f"{fairness_words.chance(row.adjusted_p)}."
    )


def _draw_curve(row: Row, page: Page) -> None:
    curve = curves.free_curve(
        page.rows(
            "part_curve", part_no=row.part_no, kind=row.appliance_kind, component=row.component
        )
    )
    event = widgets.chart(
        charts_callbacks.part_curve(curve, row.part_no),
        alt=f"Repairs without a callback by day, with {row.part_no} and with other part numbers.",
        key="part_curve",
        title=f"Repairs with {row.part_no} come back sooner than with other part numbers.",
        on_select="rerun",
        selection_mode="points",
    )
    st.caption(f"Click the line of {verbatim(row.part_no)} to see its jobs that came back.")
    if widgets.clicked(event) is not None:
        returns_of(row)
