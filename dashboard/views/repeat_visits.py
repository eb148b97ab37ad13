"""Why did one visit not do? The reasons of further visits, and what they took."""

import pandas as pd
import streamlit as st

from dashboard.callbacks import charts as charts_callbacks
from dashboard.text import format as words
from dashboard.text.escape_markdown import verbatim
from dashboard.ui import shell, widgets
from dashboard.ui.page import Page

TITLE = "Why do we drive twice?"
REASONS = {
    "part_needed": "part not on the van",
    "part_ordered": "part ordered on purpose",
    "misdiagnosed": "part fitted did not cure it",
    "defective_part": "new part faulty",
    "more_time": "more time, hands or tools",
    "customer": "customer thinks it over",
    "other": "other",
}


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin(TITLE)
    reasons = page.measure("repeat_visits")
    if reasons.empty:
        st.info("No job in this filter has a second attended visit, or no visits are recorded.")
        widgets.how_counted("repeat_visits")
        st.stop()
    reasons["label"] = [
        REASONS.get(reason, reason.replace("_", " ")) for reason in reasons["reason"]
    ]

    st.markdown(answer(reasons, page))
    reasons_in_full(reasons)


def reasons_in_full(reasons: pd.DataFrame) -> None:
    """Draw and list the reasons."""
    widgets.chart(
        charts_callbacks.pareto(reasons),
        alt="Reasons of further visits: "
        + "; ".join(f"{r.label} {words.percent(r.share)}" for r in reasons.itertuples()),
        key="reasons",
    )
    widgets.table(
        reasons,
        {
            "label": st.column_config.TextColumn("Why the visit did not end it"),
            "visits": st.column_config.NumberColumn("Further visits"),
            "share": st.column_config.NumberColumn("Share", format="percent"),
            "low": st.column_config.NumberColumn("95 % from", format="percent"),
            "high": st.column_config.NumberColumn("to", format="percent"),
            "jobs": st.column_config.NumberColumn("Jobs"),
            "timed_visits": st.column_config.NumberColumn("With minutes"),
            "travel_min": st.column_config.NumberColumn("Road, min", format="%.0f"),
            "labour_min": st.column_config.NumberColumn("On site, min", format="%.0f"),
            "cost_low": st.column_config.NumberColumn("Cost of the road", format="%.0f"),
            "cost_high": st.column_config.NumberColumn("Cost at most", format="%.0f"),
        },
    )
    st.caption(
        "The labour cost comes from the settings of wage, burden and overhead. Trips on which "
        "nobody was home are not in this count."
    )
    widgets.download(reasons.drop(columns=["label"]), "repeat_visits")
    widgets.how_counted("repeat_visits")


def answer(reasons: pd.DataFrame, page: Page) -> str:
    """Say the largest reason and what all further visits took."""
    first, visits = reasons.iloc[0], reasons["visits"].sum()
    told = words.rate(first.visits, visits, first.low, first.high, "further visits")
    timed, travel = reasons["timed_visits"].sum(), reasons["travel_min"].sum()
    lines = [f"The most frequent reason is **{first.label}**: {told}."]
    if timed:
        both = travel + reasons["labour_min"].sum()
        lines.append(
            f"The trips took {words.number(travel / 60)} hours on the road and "
            f"{words.number((both - travel) / 60)} hours on site, as far as recorded "
            f"({timed:,} of {visits:,} have their minutes)."
        )
    if reasons["cost_low"].notna().any():
        low, high = reasons["cost_low"].sum(), reasons["cost_high"].sum()
        currency = verbatim(page.dataset.currency) if page.dataset.currencies == 1 else ""
        lines.append(
            f"At the shop's labour cost that is {words.number(low, unit=currency)} for the road "
            f"alone, and at most {words.number(high, unit=currency)}: part of the time on site the "
            "repair needed anyway."
        )
    return "\n\n".join(lines)


if __name__ == "__main__":
    shell.show(draw)
