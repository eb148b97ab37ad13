"""Return trips: why one visit was not enough, and what going back took."""

import pandas as pd
import streamlit as st

from dashboard.callbacks import charts
from dashboard.callbacks.sentences import (
    RETURN_REASONS,
    jobs_of_the_month,
    what_it_took,
    why_back,
)
from dashboard.rows import each_row
from dashboard.text import format as words
from dashboard.ui import columns, navigation, shell, widgets
from dashboard.ui.page import Page


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin("Why do we go back?")
    reasons = page.measure("repeat_visits")
    if reasons.empty:
        st.info("No job in these filters has a second attended visit, or no visits are recorded.")
        widgets.how_counted("repeat_visits")
        st.stop()
    currency = page.currency
    reasons = in_words(reasons).merge(
        page.rows("trip_reasons").drop(columns="jobs"), on="reason", how="left"
    )
    st.markdown(why_back(reasons))
    st.markdown(what_it_took(reasons, currency))
    chosen = in_full(reasons, currency)
    if chosen is not None:
        navigation.go("jobs", list="return_trips", reason=chosen)
    widgets.how_counted("repeat_visits")


def in_words(reasons: pd.DataFrame) -> pd.DataFrame:
    """Add the names of the reasons, and their shares as text."""
    rows = list(each_row(reasons))
    return reasons.assign(
        label=[RETURN_REASONS.get(r.reason, r.reason.replace("_", " ")) for r in rows],
        range=[words.percent_range(r.low, r.high) for r in rows],
    )


def in_full(reasons: pd.DataFrame, currency: str | None) -> str | None:
    """Draw and list the reasons; return the one that was clicked."""
    shown = {
        "label": columns.text("Why we went back"),
        "visits": columns.count("Return trips"),
        "share": columns.percent("Share"),
        "jobs": columns.count("Jobs"),
        "cost_low": columns.money("Cost of the road", currency),
    }
    event = widgets.chart(
        charts.pareto(reasons),
        alt="Reasons of return trips: "
        + "; ".join(f"{r.label} {words.percent(r.share)}" for r in each_row(reasons)),
        key="reasons",
        title=leading(reasons),
        on_select="rerun",
        selection_mode="points",
    )
    st.caption(
        "Click a bar or a row to see its jobs. Trips with no access are not counted. The month "
        "counts a job once, and only where first-time fix counts it."
    )
    row = widgets.clicked_row(reasons, shown, "reason_rows")
    widgets.download(reasons, "repeat_visits", shown, ["label", "range"])
    detail = details(reasons, currency)
    row = detail if row is None else row
    return reasons["reason"].iloc[row] if row is not None else widgets.clicked(event)


def leading(reasons: pd.DataFrame) -> str:
    """Say how much the first reasons make up together."""
    top = reasons.head(2)
    share = words.percent(top["share"].sum())
    names = "; ".join(label.lower() for label in top["label"])
    return f"{share} of all return trips: {names}."


def details(reasons: pd.DataFrame, currency: str | None) -> int | None:
    """Show the ranges, the minutes and the most that the trips cost; return the row clicked."""
    with st.expander("Details: ranges, minutes and cost"):
        row = widgets.clicked_row(
            reasons,
            {
                "label": columns.text("Why we went back"),
                "range": columns.text("95% range"),
                "timed_visits": columns.count("With minutes"),
                "travel_min": columns.minutes("On the road"),
                "labour_min": columns.minutes("On site"),
                "cost_high": columns.money("Cost at most", currency),
                "in_month": columns.count("Jobs on The month"),
                "other_reason": columns.count("Other reason there"),
                "not_counted": columns.count("Not counted there"),
            },
            "reason_details",
        )
        st.caption("The labor cost comes from wage, burden and overhead in the settings.")
        st.markdown(jobs_of_the_month(reasons.iloc[0]))
    return row


if __name__ == "__main__":
    shell.show(draw)
