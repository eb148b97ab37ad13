"""Callbacks: how many repairs come back, and when."""

from typing import Any

import pandas as pd
import streamlit as st

from dashboard.callbacks import charts as callback_charts
from dashboard.callbacks import curves
from dashboard.callbacks.sentences import came_back, not_counted, upper_bound
from dashboard.charts import theme as charts
from dashboard.fairness import sentences as fairness_words
from dashboard.rows import Row, each_row
from dashboard.text import format as words
from dashboard.ui import columns, navigation, shell, widgets
from dashboard.ui.group_choice import compare_by
from dashboard.ui.group_table import GROUP_TITLES, prepared
from dashboard.ui.page import Page
from dashboard.views.sections import callback_link as link_section
from dashboard.views.sections import early_parts
from dashboard.views.sections.joined_spellings import say_joined
from dashboard.views.sections.outcomes_by_kind import outcomes_by_kind

WINDOWS = (30, 60, 90)
MARKS = (0, 30, 60, 90, 180, 270, curves.HORIZON_DAYS)  # days of the at-risk table
MOST_CURVES = 6
SHOWN = {
    "label": columns.text("Group"),
    "mature": columns.count("Jobs counted"),
    "callbacks_in_window": columns.count("Came back"),
    "rate": columns.percent("Callback rate"),
    "range": columns.text("95% range"),
}
DETAILS = {
    "label": columns.text("Group"),
    "km_30": columns.percent("By day 30", help="every job counts for as long as it was tracked"),
    "km_60": columns.percent("By day 60"),
    "km_90": columns.percent("By day 90"),
    "pending": columns.count("Closed too recently"),
    "unlinked": columns.count("Appliance not known"),
}


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin("Do repairs last?")
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
        st.info("No repaired job matches these filters. Widen the dates or remove a filter.")
        st.stop()
    row: Row = rows.iloc[0]
    st.markdown(came_back(row, window))
    st.caption(not_counted(row))
    if row.callbacks_in_window:
        jobs = words.counted(row.callbacks_in_window, "job")
        if st.button(f"See the {jobs} that came back", icon=":material/list:"):
            navigation.go("jobs", list="came_back", within=str(window))
    if not row.mature:
        outcomes_by_kind(page)
    curve_of_all(page, row, window)
    group_by_group(page, row, window)
    early_parts.show(page, page.measure("early_parts", window_days=window), window)
    link_section.show(page, window)
    widgets.how_counted("callbacks")


def curve_of_all(page: Page, row: Row, window: int) -> None:
    """Draw the share that came back by day, with the number of jobs still tracked."""
    curve = page.measure("callback_curve")
    if curve.empty:
        return
    st.subheader("When do they come back?")
    by_30, by_90 = words.percent(row.km_30), words.percent(row.km_90)
    event = widgets.chart(
        callback_charts.callback_curve(curve),
        alt=f"Repairs without a callback over {curves.HORIZON_DAYS} days: {by_30} came back by "
        f"day 30, {by_90} by day 90.",
        key="curve",
        title=f"{by_30} are back by day 30, {by_90} by day 90.",
        on_select="rerun",
        selection_mode="points",
    )
    st.caption("Click the line to see the jobs that were back by that day.")
    back_by(event, None)
    with st.expander("Details: jobs still tracked, and the most that callbacks can be"):
        st.markdown(upper_bound(page.rows("any_call", window_days=window).iloc[0], window))
        st.caption(
            "Every repair counts for as long as it was tracked, recent ones too (Kaplan–Meier); "
            "the band is the 95% range. It assumes that repairs tracked for a short time are like "
            "the others."
        )
        widgets.table(tracked(curve).drop(columns="Group"))


def back_by(event: Any, group_by: str | None) -> None:
    """Open the jobs that were back by the day of the point clicked, of its group."""
    day, group = widgets.clicked(event, 0), widgets.clicked(event, 1)
    if day is not None and group is not None:
        of = {} if group_by is None else {"group_by": group_by, "group": group}
        navigation.go("jobs", list="back_by", within=day, **of)


def tracked(curve: pd.DataFrame) -> pd.DataFrame:
    """Return how many jobs are still tracked on some days, one row a group."""
    return curves.at_risk(curve, MARKS).rename(columns={"group": "Group"})


def group_by_group(page: Page, row: Row, window: int) -> None:
    """Draw the rate of each group with its interval; a dot or a row opens what came back."""
    st.subheader("Group by group")
    group_by = compare_by("appliance_kind")
    groups = prepared(
        page.measure("callbacks", group_by=group_by, window_days=window),
        group_by,
        page.labels,
        page.settings["min_jobs"],
        "callbacks_in_window",
    )
    groups["range"] = [words.percent_range(r.low, r.high) for r in each_row(groups)]
    say_joined(page, group_by)
    chosen = dots(groups, row, GROUP_TITLES[group_by].lower())
    clicked = widgets.clicked_row(groups, SHOWN, f"groups_{group_by}")
    chosen = groups["group"].iloc[clicked] if clicked is not None else chosen
    if chosen is not None:
        came_back_of(chosen, group_by, window)
    widgets.download(groups, "callbacks", SHOWN, ["is_few", "words", "range"])
    with st.expander("Details: by day, and do the groups differ?"):
        st.caption(
            "These rates do not allow for the mix of work. For a fair comparison of technicians "
            "and branches, see First-time fix."
        )
        row = widgets.clicked_row(groups, DETAILS, f"details_{group_by}")
        if row is not None:
            came_back_of(groups["group"].iloc[row], group_by, window)
        compare_curves(group_by, page)


def came_back_of(group: str, group_by: str, window: int) -> None:
    """Open the jobs of a group that came back."""
    navigation.go("jobs", list="came_back", group_by=group_by, group=group, within=str(window))


def dots(groups: pd.DataFrame, row: Row, noun: str) -> str | None:
    """Draw the groups' rates; return the group clicked."""
    known = groups[groups["mature"] > 0]
    if known.empty:
        return None
    enough = known[~known["is_few"]]
    worst = (known if enough.empty else enough).sort_values("rate").iloc[-1]
    event = widgets.chart(
        charts.rate_by_group(known, "came back, % of jobs", row.rate if row.mature else None),
        alt=f"Callback rate by {noun}: "
        + "; ".join(f"{g.label} {g.words}" for g in each_row(known.head(12))),
        key=f"rates_{noun}",
        title=f"Highest: {worst.label}, {worst.words}. Dashed line: the whole shop.",
        on_select="rerun",
        selection_mode="points",
    )
    st.caption("Alphabetical. Click a dot or a row to see the jobs that came back.")
    return widgets.clicked(event)


def compare_curves(group_by: str, page: Page) -> None:
    """Compare the groups' curves by the log-rank test; few groups are drawn as well."""
    curve = page.measure("callback_curve", group_by=group_by)
    curve["id"] = curve["group"]
    curve["group"] = [page.labels.of(group_by, group) for group in curve["group"]]
    test = curves.compare_curves(curve)
    if test is None:
        return
    noun = GROUP_TITLES[group_by].lower()
    times = fairness_words.chance(test.p_value).replace(" in ", " time in ")
    st.markdown(
        f"**Does it differ by {noun}?** "
        + ("Within the normal range" if test.p_value > 0.05 else "Yes, outside the normal range")
        + f": if all were alike, differences like these would come up {times} "
        f"(log-rank test, chi-square {test.statistic:.1f}, {test.freedom} degrees of freedom)."
    )
    if curve["group"].nunique() <= MOST_CURVES:
        event = widgets.chart(
            callback_charts.callback_curve(curve),
            alt=f"Repairs without a callback by {noun}.",
            key="group_curves",
            on_select="rerun",
            selection_mode="points",
        )
        back_by(event, group_by)
    seen = tracked(curve)
    seen["Came back"] = [test.observed[name] for name in seen["Group"]]
    seen["Expected if equal"] = [round(test.expected[name], 1) for name in seen["Group"]]
    widgets.table(seen)


if __name__ == "__main__":
    shell.show(draw)
