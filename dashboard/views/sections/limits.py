"""The limits of a test point as a table."""

import pandas as pd
import streamlit as st

from dashboard.readings import sentences
from dashboard.rows import each_row
from dashboard.text.escape_markdown import verbatim
from dashboard.text.limits import limits_in_full
from dashboard.ui import widgets

LIMITS_SHOWN = {
    "applies": st.column_config.TextColumn("Limits for"),
    "inside": st.column_config.TextColumn("Inside"),
    "outside": st.column_config.TextColumn("Outside"),
    "marks": st.column_config.TextColumn("Open; about 0"),
    "readings": st.column_config.NumberColumn("Readings judged", format="localized"),
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
    known["marks"] = [f"{row.open_verdict}; {row.zero_verdict}" for row in each_row(known)]
    known["comes_from"] = [str(name).replace("_", " ") for name in known["source_class"]]
    known["trust"] = [sentences.TRUST.get(name, name) for name in known["confidence"]]
    widgets.table(known, LIMITS_SHOWN)
    st.caption("\n".join(f"- {verbatim(line)}" for line in dict.fromkeys(origins(known))))


def origins(known: pd.DataFrame) -> list[str]:
    """Say of each row of limits where it comes from, how far to trust it, and what is noted."""
    lines = []
    for row in each_row(known):
        parts = [f"{row.applies}: {row.comes_from}", row.source, f"trust {row.trust}", row.note]
        formula = row.formula and f"formula {row.formula}"
        lines.append(". ".join(str(p).rstrip(".") for p in [*parts, formula] if p) + ".")
    return lines
