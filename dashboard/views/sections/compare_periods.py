"""Two periods of the reader's choice, figure by figure."""

from datetime import date

import pandas as pd
import streamlit as st

from dashboard.month.compare import MONTHS_BEFORE, compared
from dashboard.month.load import records_of
from dashboard.month.periods import month_days, months_before
from dashboard.text.format import day
from dashboard.ui import widgets
from dashboard.ui.page import Page


def compare_periods(page: Page, month: str) -> None:
    """Compare two periods: at first the month and the twelve months before it."""
    st.subheader("Compare two periods")
    left, right = st.columns(2)
    first = _period(left, "This period", month_days(month), f"first_{month}")
    second = _period(right, "Against", months_before(month, MONTHS_BEFORE), f"second_{month}")
    if first is None or second is None:
        st.caption("Choose the first and the last day of both periods.")
        return
    rows = compared(first, second, records_of(page.snapshot), page.filters)
    titles = [f"{day(start)} – {day(end)}" for start, end in (first, second)]
    widgets.table(
        pd.DataFrame([vars(row) for row in rows]),
        {
            "name": st.column_config.TextColumn("Figure"),
            "first": st.column_config.TextColumn(titles[0]),
            "second": st.column_config.TextColumn(titles[1]),
            "verdict": st.column_config.TextColumn("Real change?"),
        },
    )
    st.caption(
        "A change is real when the 95% interval of the difference leaves out 0 (Newcombe's "
        "interval for rates, resampling for medians). Here each period is taken as a whole; the "
        "cards above ask whether a month stands out from the usual swings between months."
    )


def _period(
    place: st.delta_generator.DeltaGenerator, title: str, value: tuple[date, date], key: str
) -> tuple[date, date] | None:
    """Let the reader choose a period; None while only its first day is chosen."""
    chosen = place.date_input(title, value=value, key=key)
    if not isinstance(chosen, tuple) or len(chosen) != 2:
        return None
    return chosen
