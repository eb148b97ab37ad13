"""The limits of a test point as a table."""

import pandas as pd
import streamlit as st

from dashboard.readings import sentences
from dashboard.rows import each_row
from dashboard.text.limits import limits_in_full
from dashboard.ui import widgets

LIMITS_SHOWN = {
    "applies": st.column_config.TextColumn("Limits for", width="medium"),
    "inside": st.column_config.TextColumn("Inside"),
    "outside": st.column_config.TextColumn("Outside"),
    "open_verdict": st.column_config.TextColumn("Open is a"),
    "zero_verdict": st.column_config.TextColumn("About 0 is a"),
    "readings": st.column_config.NumberColumn("Readings judged"),
    "class": st.column_config.TextColumn("Comes from"),
    "trust": st.column_config.TextColumn("Trust", width="medium"),
    "formula": st.column_config.TextColumn("Formula", width="medium"),
    "source": st.column_config.TextColumn("Source", width="large"),
    "note": st.column_config.TextColumn("Note", width="large"),
}


def show_limits(limits: pd.DataFrame) -> None:
    """Show every row of limits of a test point: where it comes from, how far to trust it."""
    known = limits[limits["limits_id"].notna()].copy()
    if known.empty:
        st.info("This test point has no limits in the register: its readings get no verdict.")
        return
    known = known.astype(object).where(known.notna(), None)
    for column in ("open_verdict", "zero_verdict"):
        known[column] = known[column].replace("na", "no verdict")
    known["applies"] = [sentences.applies(row) for _, row in known.iterrows()]
    units = known["unit"].where(known["limit_basis"] == "absolute", "times the nameplate")
    known["inside"] = [
        limits_in_full(row.low, row.high, unit)
        for row, unit in zip(each_row(known), units, strict=True)
    ]
    known["outside"] = [
        sentences.beyond(row.fail_below, row.fail_above, unit)
        for row, unit in zip(each_row(known), units, strict=True)
    ]
    known["class"] = [str(name).replace("_", " ") for name in known["source_class"]]
    known["trust"] = [sentences.TRUST.get(name, name) for name in known["confidence"]]
    widgets.table(known, LIMITS_SHOWN)
