"""Callbacks: how many repairs come back, and when."""

import pandas as pd
import streamlit as st

from dashboard import charts, page, words
from dashboard.group_table import GROUP_TITLES, prepared

TITLE = "Do the repairs hold?"
WINDOWS = (30, 60, 90)
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

this = page.begin(TITLE)
window = st.segmented_control(
    "A return counts within",
    sorted({*WINDOWS, this.settings["callback_window_days"]}),
    default=this.settings["callback_window_days"],
    format_func=lambda days: f"{days} days",
    key="window",
    bind="query-params",
    required=True,
)
rows = this.measure("callbacks", window_days=window)
if rows.empty:
    st.info("No repaired job is in this filter. Widen the dates or clear a filter at the left.")
    st.stop()
row = rows.iloc[0]


def answer(row: pd.Series) -> str:
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
        "whose appliance is not known. Returns that went to another shop are not seen: "
        "the true rate is at least this."
    )


st.markdown(answer(row))
curve = this.measure("callback_curve")
if not curve.empty:
    st.subheader("How long repairs stay good")
    page.chart(
        charts.callback_curve(curve),
        alt="Share of repairs that came back, over 365 days: "
        f"{words.percent(row.km_30, 1)} by day 30, {words.percent(row.km_90, 1)} by day 90.",
        key="curve",
    )
    st.caption(
        "Every repair counts for as long as it was seen, pending ones too (Kaplan–Meier); "
        "the band is the 95 % interval."
    )
    with st.expander("How many were still seen"):
        marks = [
            {
                "Day": day,
                "Still seen": int(
                    curve.loc[curve["day"] >= day, ["callbacks", "censored"]].sum().sum()
                ),
                "Came back by then": int(curve.loc[curve["day"] <= day, "callbacks"].sum()),
            }
            for day in (0, 30, 60, 90, 180, 270, 365)
        ]
        page.table(pd.DataFrame(marks))

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
    this.measure("callbacks", group_by=group_by, window_days=window),
    group_by,
    this.labels,
    this.settings["min_jobs"],
    "callbacks_in_window",
)
known = groups[groups["mature"] > 0]
if not known.empty:
    page.chart(
        charts.rate_by_group(known, "came back", row.rate if row.mature else None),
        alt="Callback rate by "
        + GROUP_TITLES[group_by].lower()
        + ": "
        + "; ".join(f"{g.label} {g.words}" for g in known.head(12).itertuples()),
        key="groups",
    )
page.table(groups, SHOWN)
page.download(groups.drop(columns=["is_few"]), "callbacks")
page.how_counted("callbacks")
