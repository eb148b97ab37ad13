"""The section on how jobs ended, kind by kind: what any source can say."""

import streamlit as st

from dashboard.rows import each_row
from dashboard.text import format as words
from dashboard.ui import columns, widgets
from dashboard.ui.page import Page


def outcomes_by_kind(page: Page) -> None:
    """Show how jobs ended, kind by kind: what any source can say, also one without visits."""
    st.subheader("How jobs ended")
    table = page.rows("outcomes_by_kind")
    if table.empty:
        st.caption("No attended job is closed.")
        return
    closed, repaired = int(table["closed"].sum()), int(table["repaired"].sum())
    beyond = int(table["beyond_repair"].sum())
    st.markdown(
        f"Of {words.counted(closed, 'closed job')} in all records, {repaired:,} were repaired and "
        f"{beyond:,} were beyond repair; the shares, appliance by appliance:"
    )
    shown = table.assign(
        appliance_kind=[page.labels.of("appliance_kind", k) for k in table["appliance_kind"]],
        share=[words.interval(row.share, row.low, row.high) for row in each_row(table)],
        beyond=[
            f"{row.beyond_repair:,} ({words.percent(row.beyond_share)})" for row in each_row(table)
        ],
    )
    widgets.table(
        shown,
        {
            "appliance_kind": columns.text("Appliance"),
            "closed": columns.count("Closed jobs"),
            "repaired": columns.count("Repaired"),
            "share": columns.text("Share repaired (95% range)"),
            "beyond": columns.text("Beyond repair"),
        },
    )
    st.caption(
        "Open and canceled jobs are not counted, and the filters do not apply. Ranges are 95% "
        "Wilson intervals."
    )
