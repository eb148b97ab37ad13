"""One repair: how long it takes, what it costs, and what any price would have left."""

from dataclasses import replace

import numpy as np
import pandas as pd
import streamlit as st

from dashboard.database.query import run
from dashboard.pricing import charts as charts_pricing
from dashboard.pricing.plans import last_year, plans, ways_to_plan
from dashboard.pricing.price import CostToServe
from dashboard.pricing.price_list import LAW
from dashboard.pricing.rates import cost_of, price_of
from dashboard.pricing.repair_records import Repair, repair_of, timed
from dashboard.pricing.sentences import rate_words, repair_label, time_words, tried_words
from dashboard.pricing.terms import Terms, terms_of
from dashboard.stats.durations.lognormal import PlannedMinutes
from dashboard.text import format as words
from dashboard.ui import columns, job_table, shell, widgets
from dashboard.ui.page import Page


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin("What does it take, and what should we charge?")
    own = terms_of(page.settings)
    st.warning(LAW, icon=":material/gavel:")

    rows = base_rows(own.warranty_days, page)
    if rows.empty:
        st.info("No repaired complaint with a repair code matches these filters. Remove a filter.")
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
    headline(cost, minutes, repair, terms, page.currency)
    jobs_of(page, repair, minutes_of(minutes, repair, terms))
    if cost is None:
        st.stop()
    try_rate(page, cost, repair, terms)
    with st.expander("Details: what is in the price, and ways to plan"):
        in_the_price(cost, minutes, repair, terms, page.currency)
        compare_plans(repair, terms, page.currency)
    widgets.show_cautions("local_law")
    widgets.how_counted("flat_rate")


def _label(key: str, page: Page) -> str:
    kind, code = key.split("/", 1)
    return repair_label(kind, code, page.labels)


def choose_repair(page: Page, rows: pd.DataFrame) -> tuple[str, str, str]:
    """Let the reader choose a repair, the most frequent one first."""
    keys = rows["appliance_kind"] + "/" + rows["repair_code"]
    counts = keys.value_counts().sort_index().sort_values(ascending=False, kind="stable")
    key = st.selectbox(
        "Repair",
        counts.index.tolist(),
        format_func=lambda each: _label(each, page),
        key="repair",
        bind="query-params",
    )
    kind, code = key.split("/", 1)
    return code, key, kind


def choose_costs(own: Terms) -> tuple[float, float]:
    """Let the reader vary cost per hour and margin; untouched, a slider means its exact value."""
    rate = st.slider(
        "Labor cost per billable hour",
        0.0,
        float(max(250, round(own.labour_per_hour * 2))),
        shown := round(own.labour_per_hour, 2),
        help="wage, burden and overhead over the hours that can be billed",
    )
    margin = st.slider("Target margin, % of the price", 0, 90, round(100 * own.target_margin))
    return own.labour_per_hour if rate == shown else rate, margin / 100


def choose_risk(own: Terms) -> tuple[float, int]:
    """Let the reader vary the share of jobs that end in time, and the warranty in days."""
    quantile = st.slider("Jobs finished in the planned time, %", 50, 95, round(100 * own.quantile))
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
    st.caption(
        "The sliders change this page only. Set your own rates and costs on the page Flat rates."
    )
    if chosen == shown:
        return repair
    road = terms.labour(chosen) + trips_of(repair) * terms.trip_cost
    return replace(repair, travel_min=chosen, travel=road)


def trips_of(repair: Repair) -> float:
    """Return the mean trips of a job."""
    return float(repair.jobs["job_trips"].mean())


def headline(
    cost: CostToServe | None,
    minutes: PlannedMinutes,
    repair: Repair,
    terms: Terms,
    currency: str | None,
) -> None:
    """Say what the repair should be charged at."""
    if cost is None:
        st.info(
            "**A price cannot be said from these records:** the parts' costs, or what a return "
            "costs, are not recorded. The minutes are below."
        )
        return
    edges = (minutes.low or minutes.planned_min, minutes.high or minutes.planned_min)
    low, high = (price_of(cost_of(repair, edge, terms), repair, terms) for edge in edges)
    st.markdown(rate_words(repair, price_of(cost, repair, terms), low, high, currency))


def minutes_of(minutes: PlannedMinutes, repair: Repair, terms: Terms) -> tuple[float, float] | None:
    """Draw how long the repair takes; return the bar that was clicked: from and to minutes."""
    own_min, ways = timed(repair.jobs), ways_to_plan(repair, terms)
    if not own_min.size:
        return None
    st.markdown(time_words(repair, terms.warranty_days))
    middle = words.minutes(float(np.median(own_min)))
    event = widgets.chart(
        charts_pricing.minutes(own_min, ways),
        alt=f"Minutes of {words.counted(len(own_min), 'job')}; "
        + ", ".join(f"{name} {words.minutes(value)}" for name, value in ways.items()),
        key="minutes",
        title=f"Half of the jobs take {middle} or less. Click a bar to see its jobs.",
        on_select="rerun",
        selection_mode="points",
    )
    own = (
        "from this repair's own jobs. "
        if minutes.own_share == 1
        else f"{words.percent(minutes.own_share)} from its own jobs, the rest from others of the "
        "same appliance. "
    )
    st.caption(
        f"The plan is a lognormal fit, {own}{words.percent(terms.quantile)} of these jobs ended "
        f"within {words.minutes(minutes.plain_min)}."
    )
    first, after = widgets.clicked(event, 0), widgets.clicked(event, 1)
    return (float(first), float(after)) if first and after else None


def jobs_of(page: Page, repair: Repair, bar: tuple[float, float] | None) -> None:
    """List the jobs of the repair, or of the bar that was clicked; a row opens its job."""
    jobs, took = repair.jobs, ""
    if bar:
        jobs = jobs[(jobs["job_min"] > 0) & jobs["job_min"].between(*bar, inclusive="left")]
        took = f" that took {bar[0]:.0f} to {bar[1]:.0f} minutes"
    with st.expander(f"{words.counted(len(jobs), 'job')}{took}", expanded=bar is not None):
        shown = {
            "job_id": columns.text("Job"),
            "closed_on": columns.day("Closed"),
            "job_min": columns.minutes("Time on job"),
            "charged": columns.money("Charged", page.currency, help="with what returns charged"),
            "cost": columns.money("Cost", page.currency, help="with the cost of its returns"),
        }
        job_table.opening(jobs.iloc[::-1].head(widgets.LISTED), shown, "One repair", "repair_jobs")


def in_the_price(
    cost: CostToServe,
    minutes: PlannedMinutes,
    repair: Repair,
    terms: Terms,
    currency: str | None,
) -> None:
    """List what is in the price."""
    st.markdown("**What is in the price**")
    travel = f"Travel, {words.minutes(repair.travel_min)}, {trips_of(repair):.1f} trips"
    back = words.money(repair.return_cost, currency)
    price = price_of(cost, repair, terms)
    items = [
        (f"Labor, {words.minutes(minutes.planned_min)} planned", cost.labour),
        (travel, cost.travel),
        ("Parts, at cost", cost.parts),
        ("Consumables", cost.consumables),
        ("Other cost per job", cost.overhead),
        (
            f"For callbacks, {words.percent(repair.callback_chance, 1)} of {back}",
            cost.callback_reserve,
        ),
        ("Cost to serve", cost.total),
        ("Margin, parts markup, rounding", None if price is None else price - cost.total),
        ("Flat rate", price),
    ]
    widgets.table(
        pd.DataFrame(items, columns=["item", "money"]),
        {
            "item": columns.text("For one job"),
            "money": columns.money("Amount", currency, is_unit_price=True),
        },
    )
    st.caption(
        "Diagnosis is in the minutes. What is set aside for callbacks is the chance of a return "
        f"within {words.counted(terms.warranty_days, 'day')} times its mean cost; both borrow from "
        "the whole shop where jobs are few."
    )


def compare_plans(repair: Repair, terms: Terms, currency: str | None) -> None:
    """Compare ways to plan."""
    st.markdown("**Ways to plan**")
    widgets.table(
        plans(repair, terms),
        {
            "plan": columns.text("Planned at"),
            "minutes": columns.minutes("Time"),
            "rate": columns.money("Rate", currency),
            "margin": columns.percent("Margin on average"),
            "profit_per_hour": columns.money("Profit per hour", currency, is_unit_price=True),
            "under_cost": columns.count("Past jobs under cost"),
        },
    )


def try_rate(page: Page, cost: CostToServe, repair: Repair, terms: Terms) -> None:
    """Say what a rate would have left."""
    st.subheader("Try a rate")
    since = last_year(page.dataset.as_of.date())
    tried = st.number_input(
        "Rate", min_value=0.0, value=price_of(cost, repair, terms) or 0.0, step=5.0, format="%.2f"
    )
    recent = repair.jobs[repair.jobs["closed_on"] >= pd.Timestamp(since)]
    st.markdown(tried_words(recent, tried, words.day(since), page.currency))


def base_rows(warranty_days: int, page: Page) -> pd.DataFrame:
    """Return the cured complaints under a warranty."""
    chosen = {**page.settings, "warranty_days": warranty_days}
    return run(page.snapshot, "measures/flat_rate", page.filters, **chosen)


if __name__ == "__main__":
    shell.show(draw)
