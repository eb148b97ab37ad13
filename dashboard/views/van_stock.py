"""Van stock: which parts on board let most jobs be finished on the first visit?"""

import pandas as pd
import streamlit as st

from dashboard.database import query as data
from dashboard.settings.prices import STOCK
from dashboard.text import format as words
from dashboard.text.escape_markdown import verbatim
from dashboard.ui import page
from dashboard.ui.settings_form import settings_form
from dashboard.van_stock import charts as charts_stock
from dashboard.van_stock.compute import Need
from dashboard.van_stock.contents import filled, needed
from dashboard.van_stock.trips import YEAR_DAYS, saving

TITLE = "Which parts belong on the van?"
LIMITS = {"budget": "Budget", "slots": "Slots"}
column = st.column_config

this = page.begin(TITLE)
unit = this.dataset.currency or "money"
days = this.settings["restock_days"]
asked = (str(data.version(page.folder())), this.filters, this.settings)
need, today, slow = needed(*asked)
if not need.kits:
    st.info(
        "**Cannot be said:** no attended job with a recorded part number is in this filter. Part "
        "lines (job, part number, quantity, cost) are what this page needs."
    )
    st.stop()
choices = list(LIMITS) if need.costs else ["slots"]
left, right = st.columns(2)
with left:
    limit = st.segmented_control(
        "Limited by",
        choices,
        default=choices[0],
        format_func=LIMITS.get,
        key="limit",
        bind="query-params",
        required=True,
    )
is_budget = limit == "budget"
with right:
    if is_budget:
        capacity = st.number_input(
            f"Trade cost of the parts on one van ({verbatim(unit)})",
            min_value=0.0,
            value=float(this.settings["van_budget"]),
            step=250.0,
        )
    else:
        capacity = st.number_input(
            "Parts that fit into one van",
            min_value=0,
            value=int(this.settings["van_slots"]),
            step=10,
        )

with st.spinner("Filling the van …"):
    stock, table, curve = filled(*asked, float(capacity), is_budget)
change = saving(need, stock, today, this.settings)
share, share_today = stock.covered / need.jobs, today.covered_share
per_year = need.vans_at_work * YEAR_DAYS / days


def answer(need: Need) -> str:
    """Say what the stock covers, what is covered today, and the difference in a year."""
    units = sum(stock.units.values())
    text = (
        f"With {words.counted(units, 'part')} of {words.counted(len(stock.units), 'number')} on "
        f"board, **{words.percent(share)} of the jobs that need parts** would find them all. "
        f"Today {words.percent(share_today)} lose no trip for a part: of {today.part_jobs:,} such "
        f"jobs {today.needed_jobs:,} lost one for a part that was not carried and "
        f"{today.ordered_jobs:,} waited for one ordered on purpose."
    )
    if change.jobs <= 0:
        return text + (
            "\n\n**Today's vans do better than this limit allows.** They carry more, or restock "
            "more often, than is set here; raise it to where the curve passes today's line."
        )
    text += f"\n\n**About {change.jobs:,.0f} jobs more a year would be done on the first visit**"
    if change.minutes is None:
        return text + "; what a lost trip costs in minutes cannot be said from these records."
    return text + (
        f", {change.minutes / 60:,.0f} hours and {words.number(change.money)} of labour. A job "
        f"that lost a trip took {today.extra_min:.0f} minutes more, travel in, than the same "
        f"repair in one visit ({words.counted(today.compared_jobs, 'job')} compared)."
    )


st.markdown(answer(need))
st.caption(
    f"Demand of {words.counted(need.van_periods, 'van-period')} of {words.counted(days, 'day')} "
    f"({words.counted(need.vans, 'technician')}, one van each), "
    f"{need.jobs:.1f} jobs with parts in each. "
    + (
        "No stock within this limit covers more."
        if stock.is_exact
        else f"At best {words.percent(stock.bound / need.jobs, 1)} could be covered within this "
        f"limit: the stock found is at most {stock.gap * per_year:,.1f} jobs a year short of it."
    )
)
page.chart(
    charts_stock.coverage(
        pd.DataFrame(
            [(point.filled, point.covered / need.jobs) for point in curve],
            columns=["filled", "share"],
        ),
        (sum(stock.units[p] * (need.costs[p] if is_budget else 1) for p in stock.units), share),
        share_today,
        f"trade cost of the parts ({unit})" if is_budget else "parts",
    ),
    alt=f"Share of part jobs covered against what is on board; proposed {words.percent(share)}, "
    f"today {words.percent(share_today)}.",
    key="coverage",
)
if is_budget and len(need.costs) < len(need.demands):
    missing = len(need.demands) - len(need.costs)
    st.caption(f"{words.counted(missing, 'part number')} without any recorded cost are left out.")

st.subheader("What to carry")
table["component"] = [this.labels.of("component", c) for c in table["component"].fillna("")]
table["units_a_year"] = table["demand_per_period"] * YEAR_DAYS / days
table["jobs_a_year"] = table["jobs_completed_gain"] * per_year
page.table(
    table[table["carry"] > 0],
    {
        "part_no": column.TextColumn("Part number"),
        "component": column.TextColumn("Part"),
        "carry": column.NumberColumn("Carry"),
        "chance_enough": column.NumberColumn(
            "Enough", format="percent", help="chance that a period asks for no more"
        ),
        "units_a_year": column.NumberColumn("Units a year, one van", format="%.1f"),
        "cost": column.NumberColumn("Cost of one", format="%.2f"),
        "jobs_a_year": column.NumberColumn(
            "Jobs a year", format="%.1f", help="completed only because it is on board, all vans"
        ),
    },
)
page.download(table, "van_stock")

st.subheader("What to take off")
slow = slow[~slow["part_no"].isin(stock.units)]
if slow.empty:
    st.markdown("No part seen coming from a van is both slow and outside the proposed stock.")
else:
    tied = slow["cost"].sum()
    st.markdown(
        f"{words.counted(len(slow), 'part number')} came from a van at least once, are not in the "
        "proposed stock and will more likely than not lie unused for a quarter"
        + (f"; one of each is worth {words.number(tied)}." if tied else ".")
    )
    slow["component"] = [this.labels.of("component", c) for c in slow["component"].fillna("")]
    page.table(
        slow,
        {
            "part_no": column.TextColumn("Part number"),
            "component": column.TextColumn("Part"),
            "units_a_year": column.NumberColumn("Units a year, one van", format="%.2f"),
            "chance_unused": column.NumberColumn("Unused in a quarter", format="percent"),
            "last_needed_on": column.DateColumn("Last needed"),
            "cost": column.NumberColumn("Cost of one", format="%.2f"),
        },
    )
    st.caption("What is on board is not recorded: it is read from parts that came from a van.")
settings_form("Your vans", STOCK, this.settings, page.folder(), "stock")
page.how_counted("van_stock")
