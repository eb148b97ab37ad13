"""Callbacks: how many repairs come back, and when."""

import pandas as pd
import streamlit as st

from dashboard.callbacks import charts as callback_charts
from dashboard.callbacks import curves
from dashboard.charts import theme as charts
from dashboard.fairness import sentences as fairness_words
from dashboard.text import format as words
from dashboard.ui import shell, widgets
from dashboard.ui.group_table import GROUP_TITLES, prepared
from dashboard.ui.page import Page
from dashboard.views.sections import callback_link as link_section
from dashboard.views.sections import early_parts

TITLE = "Do the repairs hold?"
WINDOWS = (30, 60, 90)
MARKS = (0, 30, 60, 90, 180, 270, curves.HORIZON_DAYS)  # days of the at-risk table
MOST_CURVES = 6
SHOWN = {
    "label": st.column_config.TextColumn("Group"),
    "mature": st.column_config.NumberColumn("Old enough"),
    "callbacks_in_window": st.column_config.NumberColumn("Came back"),
    "rate": st.column_config.NumberColumn("Rate", format="percent"),
    "low": st.column_config.NumberColumn("95 % from", format="percent"),
    "high": st.column_config.NumberColumn("to", format="percent"),
    "km_30": st.column_config.NumberColumn("By day 30", format="percent", help="from the curve"),
    "km_60": st.column_config.NumberColumn("By day 60", format="percent"),
    "km_90": st.column_config.NumberColumn("By day 90", format="percent"),
    "pending": st.column_config.NumberColumn("Pending"),
    "unlinked": st.column_config.NumberColumn("Unit not known"),
}


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin(TITLE)
    window = st.segmented_control(
        "A return counts within",
        sorted({*WINDOWS, page.settings["callback_window_days"]}),
        default=page.settings["callback_window_days"],
        format_func=lambda days: f"{days} days",
        key="window",
        bind="query-params",
        required=True,
    )
    rows = page.measure("callbacks", window_days=window)
    if rows.empty:
        st.info("No repaired job is in this filter. Widen the dates or clear a filter at the left.")
        st.stop()
    row = rows.iloc[0]

    st.markdown(answer(row, window) + "\n\n" + upper_bound(page, window))
    curve_of_all(page, row)
    group_by_group(page, row, window)
    widgets.how_counted("callbacks")
    early_parts.show(page, page.measure("early_parts", window_days=window), window)
    link_section.show(page, window)


def answer(row: pd.Series, window: int) -> str:
    """Say the headline in words, with what is not in it."""
    if row.mature == 0:
        return (
            "**Cannot be said:** no repair is old enough and on a known appliance. "
            f"{row.pending:,} are younger than {window} days, {row.unlinked:,} have no known unit."
        )
    told = words.rate(row.callbacks_in_window, row.mature, row.low, row.high)
    return (
        f"**{told}** came back within {window} days for the same complaint.\n\n"
        f"Not in it: {row.pending:,} younger than {window} days (pending) and {row.unlinked:,} "
        f"whose appliance is not known{known_returns(row)}. Returns that went to another shop are "
        "not seen: the true rate is at least this."
    )


def known_returns(row: pd.Series) -> str:
    """Say how many jobs without a unit are recorded as having come back; '' when none."""
    if not row.known_returns:
        return ""
    return f" ({row.known_returns:,} of them recorded as having come back, and in no rate)"


def upper_bound(page: Page, window: int) -> str:
    """Say the most that callbacks can be: any later call on the appliance."""
    calls = page.rows("any_call", window_days=window).iloc[0]
    if calls.mature == 0:
        return ""
    told = words.rate(calls.any_call, calls.mature, calls.low, calls.high)
    return (
        f"Upper bound: {told} had any later call on the same appliance within {window} days, "
        f"whatever the complaint. {words.counted(calls.often_back, 'appliance')} came back twice "
        "or more; each return counts against the repair before it."
    )


def curve_of_all(page: Page, row: pd.Series) -> None:
    """Draw the callback-free curve of all repairs, with the number still seen."""
    curve = page.measure("callback_curve")
    if curve.empty:
        return
    st.subheader("How long repairs stay good")
    widgets.chart(
        callback_charts.callback_curve(curve),
        alt=f"Share of repairs that came back, over {curves.HORIZON_DAYS} days: "
        f"{words.percent(row.km_30, 1)} by day 30, {words.percent(row.km_90, 1)} by day 90.",
        key="curve",
    )
    st.caption(
        "Every repair counts for as long as it was seen, pending ones too (Kaplan–Meier); "
        "the band is the 95 % interval. It assumes that repairs seen for a short time are like the "
        "others."
    )
    with st.expander("How many were still seen"):
        widgets.table(seen_table(curve).drop(columns="Group"))


def seen_table(curve: pd.DataFrame) -> pd.DataFrame:
    """Return the at-risk table with heads in words."""
    return curves.at_risk(curve, MARKS).rename(columns={"group": "Group"})


def compare_curves(group_by: str, page: Page) -> None:
    """Compare the groups' curves by the log-rank test; few groups are drawn as well."""
    curve = page.measure("callback_curve", group_by=group_by)
    curve["group"] = [page.labels.of(group_by, group) for group in curve["group"]]
    test = curves.compare_curves(curve)
    if test is None:
        return
    noun = GROUP_TITLES[group_by].lower()
    is_chance = test.p_value > 0.05
    times = fairness_words.chance(test.p_value).replace(" in ", " time in ")
    st.markdown(
        f"**Do the curves differ by {noun}?** "
        + ("Within what chance alone produces" if is_chance else "More than chance alone")
        + f". Were they all alike, differences like these would come {times} "
        f"(log-rank test, chi-square {test.statistic:.1f}, {test.freedom} degrees of freedom)."
    )
    with st.expander("Curves and how many were still seen"):
        if curve["group"].nunique() <= MOST_CURVES:
            widgets.chart(
                callback_charts.callback_curve(curve),
                alt=f"Callback-free curves by {noun}.",
                key="group_curves",
            )
        else:
            st.caption(f"More than {MOST_CURVES} curves cannot be read: only the table.")
        seen = seen_table(curve)
        seen["Came back"] = [test.observed[name] for name in seen["Group"]]
        seen["Expected if equal"] = [round(test.expected[name], 1) for name in seen["Group"]]
        widgets.table(seen)


def group_by_group(page: Page, row: pd.Series, window: int) -> None:
    """Draw the rate of each group with its interval, then test the curves."""
    st.subheader("Group by group")
    group_by = st.segmented_control(
        "Compare by",
        list(GROUP_TITLES),
        default="appliance_kind",
        format_func=GROUP_TITLES.get,
        key="by",
        bind="query-params",
        required=True,
    )
    groups = prepared(
        page.measure("callbacks", group_by=group_by, window_days=window),
        group_by,
        page.labels,
        page.settings["min_jobs"],
        "callbacks_in_window",
    )
    known = groups[groups["mature"] > 0]
    if not known.empty:
        widgets.chart(
            charts.rate_by_group(known, "came back", row.rate if row.mature else None),
            alt="Callback rate by "
            + GROUP_TITLES[group_by].lower()
            + ": "
            + "; ".join(f"{g.label} {g.words}" for g in known.head(12).itertuples()),
            key="groups",
        )
    st.caption(
        "In the order of the alphabet. These rates are not corrected for the mix of work: people "
        "and branches are compared fairly on the page First-time fix."
    )
    compare_curves(group_by, page)
    widgets.table(groups, SHOWN)
    widgets.download(groups.drop(columns=["is_few"]), "callbacks")


if __name__ == "__main__":
    shell.show(draw)
