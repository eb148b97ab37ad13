"""The section on how jobs ended, kind by kind: what any source can say."""

import streamlit as st

from dashboard.text import format as words
from dashboard.ui import widgets
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
    shares = [c for c in ("share", "low", "high", "beyond_share") if c in table]
    shown = table.assign(
        appliance_kind=[page.labels.of("appliance_kind", k) for k in table["appliance_kind"]],
        **{name: 100 * table[name] for name in shares},
    )
    widgets.table(
        shown,
        {
            "appliance_kind": st.column_config.TextColumn("Appliance", width="medium"),
            "closed": st.column_config.NumberColumn("Closed jobs"),
            "repaired": st.column_config.NumberColumn("Repaired"),
            "share": st.column_config.NumberColumn("Share repaired", format="%.0f%%"),
            "low": st.column_config.NumberColumn("95% from", format="%.0f%%"),
            "high": st.column_config.NumberColumn("to", format="%.0f%%"),
            "beyond_repair": st.column_config.NumberColumn("Beyond repair"),
            "beyond_share": st.column_config.NumberColumn("Share beyond repair", format="%.0f%%"),
        },
    )
    st.caption(
        "Open and canceled jobs are not counted, no filter applies. Intervals are Wilson's, at 95%."
    )
