"""Is this month different? Each month against the baseline, in a sentence."""

import pandas as pd
import streamlit as st

from dashboard.fairness import charts as charts_fairness
from dashboard.fairness import sentences as fairness_words
from dashboard.text import format as words
from dashboard.ui import shell, widgets
from dashboard.ui.page import Page

TITLE = "Is this month different?"


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin(TITLE)
    window, min_jobs = page.settings["callback_window_days"], page.settings["min_jobs"]
    months = page.measure("month_signals")
    if months.empty:
        st.info("No repaired job is in this filter. Widen the dates or clear a filter at the left.")
        st.stop()
    chart_of_months(min_jobs, months, window)
    in_words(min_jobs, months, window)


def chart_of_months(min_jobs: int, months: pd.DataFrame, window: int) -> None:
    """Draw the months with their limits."""
    st.markdown(answer(months, min_jobs, window))
    if (months["mature"] > 0).any():
        widgets.chart(
            charts_fairness.month_signals(months, min_jobs),
            alt="First-time fix by month. " + answer(months, min_jobs, window).replace("*", ""),
            key="months",
        )
        st.caption(spread(months) + f" Faded: under {min_jobs} jobs old enough.")


def in_words(min_jobs: int, months: pd.DataFrame, window: int) -> None:
    """List the months with their verdicts."""
    st.subheader("Month by month, in words")
    for row in months[months["signals"].fillna("") != ""].itertuples(index=False):
        st.markdown(f"- **{row.month}:** {fairness_words.month(row, window, min_jobs)}")
    months["verdict"] = [
        fairness_words.month_verdict(row) for row in months.itertuples(index=False)
    ]
    widgets.table(
        months.iloc[::-1],
        {
            "month": st.column_config.TextColumn("Month"),
            "verdict": st.column_config.TextColumn("Against the baseline", width="medium"),
            "mature": st.column_config.NumberColumn("Old enough"),
            "fixed_first_time": st.column_config.NumberColumn("Fixed first time"),
            "rate": st.column_config.NumberColumn("Rate", format="percent"),
            "low": st.column_config.NumberColumn("95 % from", format="percent"),
            "high": st.column_config.NumberColumn("to", format="percent"),
            "lower_3s": st.column_config.NumberColumn("Chance alone from", format="percent"),
            "upper_3s": st.column_config.NumberColumn("to ", format="percent"),
            "pending": st.column_config.NumberColumn("Pending"),
        },
    )
    st.caption(
        "Signals: a month beyond 3 sigma; 9 in a row on one side of the baseline; 6 in a row "
        "rising or falling; 2 of 3 beyond 2 sigma on one side. By chance alone the first fires "
        "in about 1 month of 370, each of the others in about 1 of 250 to 360."
    )
    widgets.download(months.drop(columns=["verdict"]), "month_signals")
    widgets.how_counted("month_signals")


def answer(months: pd.DataFrame, min_jobs: int, window: int) -> str:
    """Say which months differ by more than chance, and what the last known one is."""
    known = months[months["mature"] > 0]
    if known.empty:
        return (
            f"**Not yet known:** no repair is older than {window} days. "
            f"{words.counted(months['pending'].sum(), 'job')} pending."
        )
    fired = known[known["signals"].fillna("") != ""]
    enough = known[known["mature"] >= min_jobs]
    last = (enough if len(enough) else known).iloc[-1]
    told = [f"**{last.month}:** {fairness_words.month(last, window, min_jobs)}"]
    if len(fired):
        told.append(
            f"Of {words.counted(len(known), 'month')}, {len(fired)} "
            f"{'differs' if len(fired) == 1 else 'differ'} by more than chance: "
            f"{words.listed(fired['month'].tolist())}."
        )
    else:
        told.append(f"None of {words.counted(len(known), 'month')} differs by more than chance.")
    return "\n\n".join(told)


def spread(months: pd.DataFrame) -> str:
    """Say what the limits rest on."""
    known = months[months["mature"] > 0]
    baseline = known[known["is_baseline"].astype(bool)]
    told = (
        f"The baseline is the first {words.counted(len(baseline), 'month')} without a pending job "
        f"({baseline['month'].iloc[0]} to {baseline['month'].iloc[-1]}), "
        f"{baseline['fixed_first_time'].sum():,} of {baseline['mature'].sum():,} jobs. "
    )
    sigma_z = known["sigma_z"].iloc[0]
    if words.is_missing(sigma_z):
        return told + "With fewer than 12 months the limits are those of chance alone."
    if sigma_z > 1:
        return told + (
            f"These months spread {sigma_z:.2f} times as much as chance alone would spread them; "
            "the limits are widened by that."
        )
    return told + "These months spread no more than chance alone would spread them."


if __name__ == "__main__":
    shell.show(draw)
