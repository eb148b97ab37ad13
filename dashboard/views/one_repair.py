"""One repair: how long it takes, what it costs, and what any price would have left."""

from dataclasses import replace

import pandas as pd
import streamlit as st

from dashboard.database import query as data
from dashboard.pricing import charts as charts_pricing
from dashboard.pricing.plans import last_year, plans, ways_to_plan
from dashboard.pricing.price_list import LAW
from dashboard.pricing.rates import cost_of, past_jobs, price_of
from dashboard.pricing.repair_records import repair_of, timed
from dashboard.pricing.sentences import rate_words, time_words
from dashboard.pricing.terms import Terms, terms_of
from dashboard.text import format as words
from dashboard.ui import page

TITLE = "One repair: what does it take, and what must it cost?"
column = st.column_config

this = page.begin(TITLE)
own = terms_of(this.settings)
st.warning(LAW, icon=":material/gavel:")


def base_rows(warranty_days: int) -> pd.DataFrame:
    """Return the cured complaints under a warranty."""
    chosen = this.settings | {"warranty_days": warranty_days}
    return data.run(page.folder(), "measures/flat_rate", this.filters, **chosen)


def repair_label(key: str) -> str:
    """Write "Washer: replace drain pump (166 jobs)"."""
    kind, code = key.split("/", 1)
    name = this.labels.of("repair_code", code, kind)
    return f"{this.labels.of('appliance_kind', kind)}: {name} ({words.counted(counts[key], 'job')})"


rows = base_rows(own.warranty_days)
if rows.empty:
    st.info("No repaired complaint with a repair code is in this filter. Clear one at the left.")
    st.stop()
keys = rows["appliance_kind"] + "/" + rows["repair_code"]
counts = keys.value_counts().sort_index().sort_values(ascending=False, kind="stable").to_dict()
key = st.selectbox(
    "Repair", list(counts), format_func=repair_label, key="repair", bind="query-params"
)
kind, code = key.split("/", 1)

left, middle, right = st.columns(3)
with left:
    rate = st.slider(
        "Labour cost per billable hour",
        0.0,
        float(max(250, round(own.labour_per_hour * 2))),
        shown_rate := round(own.labour_per_hour, 2),
        help="wage, burden and overhead over the hours that can be billed",
    )
    margin_wanted = st.slider(
        "Target margin, % of the price", 0, 90, round(100 * own.target_margin)
    )
with middle:
    quantile = st.slider("Jobs that end within the plan, %", 50, 95, round(100 * own.quantile))
    warranty = st.slider("Warranty, days", 0, 365, own.warranty_days, step=5)
terms: Terms = replace(
    own,
    # untouched, a slider stands for the exact value that it shows rounded
    labour_per_hour=own.labour_per_hour if rate == shown_rate else rate,
    target_margin=margin_wanted / 100,
    quantile=quantile / 100,
    warranty_days=warranty,
)
repair = repair_of(base_rows(warranty), terms, kind, code)
with right:
    travel_min = st.slider(
        "Travel for one job, minutes",
        0,
        180,
        shown_travel := min(round(repair.travel_min), 180),
        key=f"travel_{key}",
        help="all trips together; starts at what these jobs took",
    )
    trips = float(repair.jobs["job_trips"].mean())
    if travel_min != shown_travel:
        road = terms.labour(travel_min) + trips * terms.trip_cost
        repair = replace(repair, travel_min=travel_min, travel=road)
    st.caption("The sliders change this page only; your own terms are set on the flat rates page.")


minutes = repair.minutes
if minutes is None:
    st.info("**Cannot be said:** no other job of this appliance has its minutes recorded.")
    st.stop()
cost = cost_of(repair, minutes.planned_min, terms)
if cost is None:
    st.info(
        "**A price cannot be said from these records:** the parts' costs, or what a return costs, "
        "are not recorded. The minutes are below."
    )
else:
    edges = (minutes.low or minutes.planned_min, minutes.high or minutes.planned_min)
    low, high = (price_of(cost_of(repair, edge, terms), terms) for edge in edges)
    st.markdown(rate_words(repair, price_of(cost, terms), low, high))
if timed(repair.jobs).size:
    st.markdown(time_words(repair, warranty))
    page.chart(
        charts_pricing.minutes(timed(repair.jobs), ways_to_plan(repair, terms)),
        alt=f"Minutes of {len(timed(repair.jobs))} jobs; "
        + ", ".join(f"{n} {m:.0f}" for n, m in ways_to_plan(repair, terms).items()),
        key="minutes",
    )
    st.caption(
        "The plan is a lognormal fit, "
        + (
            "from this repair's own jobs. "
            if minutes.own_share == 1
            else f"{words.percent(minutes.own_share)} from its own jobs, the rest from others of "
            "the same appliance. "
        )
        + f"Counted plainly, {words.percent(terms.quantile)} of these jobs ended "
        f"within {words.number(minutes.plain_min)} minutes."
    )
if cost is None:
    st.stop()

st.subheader("What is in the price")
page.table(
    pd.DataFrame(
        [
            (f"Labour, {minutes.planned_min:.0f} min planned", cost.labour),
            (f"Travel, {travel_min} min, {trips:.1f} trips", cost.travel),
            ("Parts, at cost", cost.parts),
            ("Consumables", cost.consumables),
            ("Other cost per job", cost.overhead),
            (
                f"Callback reserve, {words.percent(repair.callback_chance, 1)} × "
                f"{words.number(repair.return_cost, 2)}",
                cost.callback_reserve,
            ),
            ("Cost to serve", cost.total),
            ("Margin, parts markup, rounding", price_of(cost, terms) - cost.total),
            ("Flat rate", price_of(cost, terms)),
        ],
        columns=["item", "money"],
    ),
    {
        "item": column.TextColumn("For one job"),
        "money": column.NumberColumn("Money", format="%.2f"),
    },
)

st.caption(
    "Diagnosis is in the minutes. The reserve is the chance of a return within "
    f"{words.counted(warranty, 'day')} times its mean cost, both leaning on the whole shop where "
    "jobs are few."
)

st.subheader("Ways to plan")
page.table(
    plans(repair, terms),
    {
        "plan": column.TextColumn("Planned at"),
        "minutes": column.NumberColumn("Minutes", format="%.0f"),
        "rate": column.NumberColumn("Rate", format="%.2f"),
        "margin": column.NumberColumn("Margin on average", format="percent"),
        "profit_per_hour": column.NumberColumn("Profit per hour", format="%.2f"),
        "under_cost": column.NumberColumn("Past jobs under cost"),
        "jobs": column.NumberColumn("of jobs"),
    },
)

st.subheader("Try a rate")
since = last_year(this.dataset.as_of.date())
tried = st.number_input(
    "Rate", min_value=0.0, value=float(price_of(cost, terms)), step=5.0, format="%.2f"
)
recent = repair.jobs[repair.jobs["closed_on"] >= pd.Timestamp(since)]
now, then = past_jobs(recent), past_jobs(recent, tried)
if now.jobs:
    st.markdown(
        f"Of {words.counted(now.jobs, 'job')} closed since {since:%Y-%m-%d}, {then.under_cost} "
        f"would have been under cost at {words.number(tried, 2)} ({now.under_cost} at what "
        "was charged). "
        f"They left {words.number(now.result)}; at this rate they would have left "
        f"{words.number(then.result)}, had every customer still said yes."
    )
else:
    st.markdown(f"No job with its charge and costs recorded was closed since {since:%Y-%m-%d}.")
page.show_cautions("local_law")
page.how_counted("flat_rate")
