"""Why: the month's departure split into parts that add up, each with its jobs."""

from typing import Any

import pandas as pd
import streamlit as st

from dashboard.month import charts
from dashboard.month.review import MonthReview
from dashboard.month.sentences import normal
from dashboard.rows import Row, each_row
from dashboard.text import format as words
from dashboard.text.escape_markdown import verbatim
from dashboard.ui import job_table, widgets
from dashboard.ui.page import Page

VIEWS = {
    "reason": "Reason",
    "technician": "Technician",
    "appliance_kind": "Appliance",
    "part_no": "Part number",
}
COLUMN = st.column_config
SHOWN = {
    "label": COLUMN.TextColumn("Split by"),
    "not_fixed": COLUMN.NumberColumn("This month", help="repairs not fixed first time"),
    "expected": COLUMN.NumberColumn("Normal", format="%.1f"),
    "excess": COLUMN.NumberColumn("More or fewer", format="%+.1f"),
}


def why(page: Page, found: MonthReview) -> None:
    """Split the month's departure; a click on a row or a mark lists its jobs."""
    st.subheader("Why")
    if not found.departure:
        st.caption(
            "Cannot be said: first-time fix counts no repair of this month past the callback "
            "window, or there is no earlier month to compare with."
        )
        return
    st.markdown(found.departure)
    view = st.segmented_control(
        "Split by", list(VIEWS), default="reason", format_func=VIEWS.__getitem__, key="split"
    )
    view = view or "reason"
    table = found.views[view]
    event = widgets.chart(
        charts.split(table, _finding(table, view)),
        alt=_in_words(table),
        key=f"why_{view}",
        on_select="rerun",
        selection_mode="points",
    )
    st.caption(verbatim(found.standing_out))
    row = widgets.clicked_row(_with_total(table), _columns(view), f"why_table_{view}")
    _jobs(page, found, view, table, widgets.clicked(event), row)


def _columns(view: str) -> dict[str, Any]:
    return SHOWN | {"label": COLUMN.TextColumn(VIEWS[view])}


def _finding(table: pd.DataFrame, view: str) -> str:
    """Return the chart's title: the largest part of the departure."""
    rows = table[(table["verdict"] == "different") & (table["excess"] > 0)]
    if rows.empty:
        return f"By {VIEWS[view].lower()}: each within its normal range"
    row: Row = rows.iloc[0]
    return f"{row['label']}: {row['not_fixed']:,.0f} jobs, {normal(row['expected'])} is normal"


def _in_words(table: pd.DataFrame) -> str:
    rows = table[~table["is_mix"].astype(bool)].head(charts.MOST_ROWS)
    return "Repairs not fixed first time: " + "; ".join(
        f"{row.label} {row.not_fixed:,.0f}, normal {words.number(row.expected, 1)}"
        for row in each_row(rows)
    )


def _with_total(table: pd.DataFrame) -> pd.DataFrame:
    """Return the rows, and their sum as the last row."""
    first: Row = table.iloc[0]
    total = {
        "label": "All not fixed first time",
        "not_fixed": first["month_not_fixed"],
        "expected": first["month_expected"],
        "excess": first["month_not_fixed"] - first["month_expected"],
    }
    return pd.concat([table[list(SHOWN)], pd.DataFrame([total])])


def _jobs(
    page: Page, found: MonthReview, view: str, table: pd.DataFrame, point: Any, row: int | None
) -> None:
    """List the jobs of the part chosen by a click or from the list."""
    parts = table[table["not_fixed"] > 0]
    names = dict(zip(parts["group"], parts["label"], strict=True))
    if row is not None and row < len(table):
        point = point or str(table.iloc[row]["group"])
    chosen = job_table.choose(
        "Jobs not fixed first time",
        list(names),
        point,
        f"why_jobs_{view}",
        lambda value: names.get(value, value),
    )
    jobs = found.jobs if chosen == job_table.ALL else found.jobs[found.jobs[view] == chosen]
    with st.expander(words.counted(len(jobs), "job"), expanded=chosen != job_table.ALL):
        job_table.show(jobs.reset_index(drop=True), page.labels, "the month", f"why_list_{view}")
