"""First-time fix: of the repairs old enough to tell, how many were done once and held?"""

import pandas as pd
import streamlit as st

from dashboard import charts, page, words
from dashboard.group_table import GROUP_TITLES, prepared

TITLE = "Do we fix it the first time?"
SHOWN = {
    "label": st.column_config.TextColumn("Group"),
    "mature": st.column_config.NumberColumn("Old enough", help="repairs older than the window"),
    "fixed_first_time": st.column_config.NumberColumn("Fixed first time"),
    "rate": st.column_config.NumberColumn("Rate", format="percent"),
    "low": st.column_config.NumberColumn("95 % from", format="percent"),
    "high": st.column_config.NumberColumn("to", format="percent"),
    "expected": st.column_config.NumberColumn(
        "Expected", format="%.1f", help="if every job had the shop's rate of its kind and complaint"
    ),
    "pending": st.column_config.NumberColumn("Pending", help="younger than the window"),
    "left_out": st.column_config.NumberColumn("Left out", help="unit or visits not known"),
}

this = page.begin(TITLE)
window = this.settings["callback_window_days"]


def answer(row: pd.Series) -> str:
    """Say the headline in words, with what is not in it."""
    told = words.rate(row.fixed_first_time, row.mature, row.low, row.high)
    lines = [
        f"**{told}** were fixed in one visit and did not come back within {window} days."
        if row.mature
        else "**Cannot be said yet:** no repair in these records is old enough, "
        "on a known unit and with its visits recorded."
    ]
    lines.append(
        f"Not in it: {row.pending:,} younger than {window} days (pending), "
        f"{row.unlinked:,} whose appliance is not known, so that a return could not be seen, and "
        f"{row.visits_unknown:,} without recorded visits."
    )
    with_visits = row.repaired - row.visits_unknown
    if with_visits:
        lines.append(
            f"Completed on the first visit, whatever came later: {row.one_visit:,} of "
            f"{with_visits:,} ({words.percent(row.one_visit / with_visits)})."
        )
    return "\n\n".join(lines)


def empty_row() -> None:
    """Say that the filter holds no repair."""
    st.info("No repaired job is in this filter. Widen the dates or clear a filter at the left.")
    st.stop()


rows = this.measure("first_time_fix")
if rows.empty:
    empty_row()
row = rows.iloc[0]
st.markdown(answer(row))

if row.mature:
    st.subheader("Month by month")
    months = this.measure("first_time_fix", group_by="month")
    known = months[months["mature"] > 0]
    page.chart(
        charts.rate_by_month(months, "first-time fix"),
        alt=f"First-time fix by month of closing, {len(known)} months, lowest "
        f"{words.percent(known['rate'].min())}, highest {words.percent(known['rate'].max())}.",
        key="months",
    )
    st.caption(
        "Whiskers are 95 % intervals: months whose whiskers overlap may differ by chance alone."
    )

st.subheader("Group by group")
group_by = st.segmented_control(
    "Compare by",
    list(GROUP_TITLES),
    default="technician",
    format_func=GROUP_TITLES.get,
    key="by",
    bind="query-params",
    required=True,
)
groups = prepared(
    this.measure("first_time_fix", group_by=group_by),
    group_by,
    this.labels,
    this.settings["min_jobs"],
    "fixed_first_time",
)
known = groups[groups["mature"] > 0]
if not known.empty:
    page.chart(
        charts.rate_by_group(known, "first-time fix", row.rate if row.mature else None),
        alt="First-time fix by "
        + GROUP_TITLES[group_by].lower()
        + ": "
        + "; ".join(f"{g.label} {g.words}" for g in known.head(12).itertuples()),
        key="groups",
    )
    st.caption(
        "The dashed line is all of them together. Groups do different work: compare the count with "
        "“Expected”, which gives each job the shop's rate for its kind and complaint. "
        f"Groups under {this.settings['min_jobs']} jobs are faded: too few jobs to say."
    )
page.table(groups, SHOWN)
page.download(groups.drop(columns=["is_few"]), "first_time_fix")

st.subheader("Who is counted")
page.table(
    this.rows("exclusions"),
    {
        "reason": st.column_config.TextColumn("Closed jobs", width="large"),
        "jobs": st.column_config.NumberColumn("Jobs"),
    },
)
page.how_counted("first_time_fix")
