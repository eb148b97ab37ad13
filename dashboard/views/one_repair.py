"""One repair: how long it takes, what it costs, and what any price would have left."""

from dataclasses import replace

import pandas as pd
import streamlit as st

from dashboard.database.query import run
from dashboard.pricing import charts as charts_pricing
from dashboard.pricing.plans import last_year, plans, ways_to_plan
from dashboard.pricing.price import CostToServe
from dashboard.pricing.price_list import LAW
from dashboard.pricing.rates import cost_of, past_jobs, price_of
from dashboard.pricing.repair_records import Repair, repair_of, timed
from dashboard.pricing.sentences import rate_words, time_words
from dashboard.pricing.terms import Terms, terms_of
from dashboard.stats.durations.lognormal import PlannedMinutes
from dashboard.text import format as words
from dashboard.ui import shell, widgets
from dashboard.ui.page import Page

TITLE = "One repair: what does it take, and what must it cost?"
column = st.column_config


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin(TITLE)
    own = terms_of(page.settings)
    st.warning(LAW, icon=":material/gavel:")

    rows = base_rows(own.warranty_days, page)
    if rows.empty:
        st.info(
            "No repaired complaint with a repair code is in this filter. Clear one at the left."
        )
        st.stop()
    code, key, kind = choose_repair(page, rows)
    left, middle, right = st.columns(3)
    with left:
        labour, margin = choose_costs(own)
    with middle:
        quantile, warranty = choose_risk(own)
    terms = replace(
        own,
        labour_per_hour=labour,
        target_margin=margin,
        quantile=quantile,
        warranty_days=warranty,
    )
    with right:
        repair = choose_travel(repair_of(base_rows(warranty, page), terms, kind, code), terms, key)
    minutes = repair.minutes
    if minutes is None:
        st.info("**Cannot be said:** no other job of this appliance has its minutes recorded.")
        st.stop()
    cost = cost_of(repair, minutes.planned_min, terms)
    headline(cost, minutes, repair, terms)
    minutes_of(minutes, repair, terms)
    if cost is None:
        st.stop()
    in_the_price(cost, minutes, repair, terms)
    compare_plans(repair, terms)
    try_rate(page, cost, repair, terms)
    widgets.show_cautions("local_law")
    widgets.how_counted("flat_rate")


def choose_repair(page: Page, rows: pd.DataFrame) -> tuple[str, str, str]:
    """Let the reader choose a repair, the most frequent one first."""
    keys = rows["appliance_kind"] + "/" + rows["repair_code"]
    counts = keys.value_counts().sort_index().sort_values(ascending=False, kind="stable").to_dict()
    key = st.selectbox(
        "Repair",
        list(counts),
        format_func=lambda each: repair_label(each, page, counts),
        key="repair",
        bind="query-params",
    )
    kind, code = key.split("/", 1)
    return code, key, kind


def choose_costs(own: Terms) -> tuple[float, float]:
    """Let the reader vary cost per hour and margin; untouched, a slider means its exact value."""
    rate = st.slider(
        "Labour cost per billable hour",
        0.0,
        float(max(250, round(own.labour_per_hour * 2))),
        shown := round(own.labour_per_hour, 2),
        help="wage, burden and overhead over the hours that can be billed",
    )
    margin = st.slider("Target margin, % of the price", 0, 90, round(100 * own.target_margin))
    return own.labour_per_hour if rate == shown else rate, margin / 100


def choose_risk(own: Terms) -> tuple[float, int]:
    """Let the reader vary the share of jobs that end in time, and the warranty in days."""
    quantile = st.slider("Jobs that end within the plan, %", 50, 95, round(100 * own.quantile))
    return quantile / 100, st.slider("Warranty, days", 0, 365, own.warranty_days, step=5)


def choose_travel(repair: Repair, terms: Terms, key: str) -> Repair:
    """Let the reader vary the minutes on the road; return the repair with them."""
    chosen = st.slider(
        "Travel for one job, minutes",
        0,
        180,
        shown := min(round(repair.travel_min), 180),
        key=f"travel_{key}",
        help="all trips together; starts at what these jobs took",
    )
    st.caption("The sliders change this page only; your own terms are set on the flat rates page.")
    if chosen == shown:
        return repair
    road = terms.labour(chosen) + trips_of(repair) * terms.trip_cost
    return replace(repair, travel_min=chosen, travel=road)


def trips_of(repair: Repair) -> float:
    """Return the mean trips of a job."""
    return float(repair.jobs["job_trips"].mean())


def headline(
    cost: CostToServe | None, minutes: PlannedMinutes, repair: Repair, terms: Terms
) -> None:
    """Say what the repair must cost."""
    if cost is None:
        st.info(
            "**A price cannot be said from these records:** the parts' costs, or what a return "
            "costs, are not recorded. The minutes are below."
        )
    else:
        edges = (minutes.low or minutes.planned_min, minutes.high or minutes.planned_min)
        low, high = (price_of(cost_of(repair, edge, terms), terms) for edge in edges)
        st.markdown(rate_words(repair, price_of(cost, terms), low, high))


def minutes_of(minutes: PlannedMinutes, repair: Repair, terms: Terms) -> None:
    """Draw how long the repair takes."""
    if timed(repair.jobs).size:
        st.markdown(time_words(repair, terms.warranty_days))
        widgets.chart(
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
                else f"{words.percent(minutes.own_share)} from its own jobs, the rest from others "
                "of the same appliance. "
            )
            + f"Counted plainly, {words.percent(terms.quantile)} of these jobs ended "
            f"within {words.number(minutes.plain_min)} minutes."
        )


def in_the_price(cost: CostToServe, minutes: PlannedMinutes, repair: Repair, terms: Terms) -> None:
    """List what is in the price."""
    st.subheader("What is in the price")
    widgets.table(
        pd.DataFrame(
            [
                (f"Labour, {minutes.planned_min:.0f} min planned", cost.labour),
                (
                    f"Travel, {round(repair.travel_min)} min, {trips_of(repair):.1f} trips",
                    cost.travel,
                ),
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
        f"{words.counted(terms.warranty_days, 'day')} times its mean cost, both leaning on the "
        "whole shop where jobs are few."
    )


def compare_plans(repair: Repair, terms: Terms) -> None:
    """Compare ways to plan."""
    st.subheader("Ways to plan")
    widgets.table(
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


def try_rate(page: Page, cost: CostToServe, repair: Repair, terms: Terms) -> None:
    """Say what a rate would have left."""
    st.subheader("Try a rate")
    since = last_year(page.dataset.as_of.date())
    tried = st.number_input(
        "Rate", min_value=0.0, value=float(price_of(cost, terms)), step=5.0, format="%.2f"
    )
    recent = repair.jobs[repair.jobs["closed_on"] >= pd.Timestamp(since)]
    now, then = past_jobs(recent), past_jobs(recent, tried)
    if now.jobs:
        st.markdown(
            f"Of {words.counted(now.jobs, 'job')} closed since {since:%Y-%m-%d}, "
            f"{then.under_cost} would have been under cost at {words.number(tried, 2)} "
            f"({now.under_cost} at what was charged). They left {words.number(now.result)}; at "
            f"this rate they would have left {words.number(then.result)}, had every customer "
            "still said yes."
        )
    else:
        st.markdown(f"No job with its charge and costs recorded was closed since {since:%Y-%m-%d}.")


def base_rows(warranty_days: int, page: Page) -> pd.DataFrame:
    """Return the cured complaints under a warranty."""
    chosen = {**page.settings, "warranty_days": warranty_days}
    return run(page.snapshot, "measures/flat_rate", page.filters, **chosen)


def repair_label(key: str, page: Page, counts: dict[str, int]) -> str:
    """Write "Washer: replace drain pump (166 jobs)"."""
    kind, code = key.split("/", 1)
    name = page.labels.of("repair_code", code, kind)
    return f"{page.labels.of('appliance_kind', kind)}: {name} ({words.counted(counts[key], 'job')})"


if __name__ == "__main__":
    shell.show(draw)
