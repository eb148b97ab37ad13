"""Van stock: which parts on board let most jobs be finished on the first visit?"""

from dataclasses import dataclass

import pandas as pd
import streamlit as st

from dashboard.settings.definitions import STOCK
from dashboard.stats.inventory.curve import CurvePoint
from dashboard.stats.inventory.model import VanStock
from dashboard.text import format as words
from dashboard.text.escape_markdown import verbatim
from dashboard.ui import shell, widgets
from dashboard.ui.page import Page
from dashboard.ui.settings_form import settings_form
from dashboard.van_stock import charts as charts_stock
from dashboard.van_stock.compute import Need
from dashboard.van_stock.contents import filled, needed
from dashboard.van_stock.trips import YEAR_DAYS, PartTrips, Saving, saving

TITLE = "Which parts belong on the van?"
LIMITS = {"budget": "Budget", "slots": "Slots"}
column = st.column_config


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin(TITLE)
    unit = page.dataset.currency or "money"
    days = page.settings["restock_days"]
    need, today, slow = needed(page.snapshot, page.filters)
    if not need.kits:
        st.info(
            "**Cannot be said:** no attended job with a recorded part number is in this filter. "
            "Part lines (job, part number, quantity, cost) are what this page needs."
        )
        st.stop()
    left, right = st.columns(2)
    with left:
        is_budget = choose_limit(need)
    with right:
        capacity = choose_capacity(page, unit, is_budget)
    with st.spinner("Filling the van …"):
        stock, table, curve = filled(page.snapshot, page.filters, capacity, is_budget)
    plan = Plan(need, today, stock, is_budget, days)
    headline(plan, saving(need, stock, today, page.settings))
    coverage(plan, curve, unit)
    to_carry(page, plan, table)
    to_take_off(page, slow, stock)
    settings_form("Your vans", STOCK, page.settings, page.folder, "stock")
    widgets.how_counted("van_stock")


@dataclass(frozen=True)
class Plan:
    """What the vans need, what they lose today, and the stock proposed within the limit."""

    need: Need
    today: PartTrips
    stock: VanStock
    is_budget: bool
    restock_days: int

    @property
    def share(self) -> float:
        """Return the share of the jobs that need parts which the stock covers."""
        return self.stock.covered / self.need.jobs

    @property
    def per_year(self) -> float:
        """Return the van-periods of all vans in a year."""
        return self.need.vans_at_work * YEAR_DAYS / self.restock_days


def choose_limit(need: Need) -> bool:
    """Let the reader choose budget or slots; return True for a budget."""
    choices = list(LIMITS) if need.costs else ["slots"]
    return (
        st.segmented_control(
            "Limited by",
            choices,
            default=choices[0],
            format_func=LIMITS.get,
            key="limit",
            bind="query-params",
            required=True,
        )
        == "budget"
    )


def choose_capacity(page: Page, unit: str, is_budget: bool) -> float:
    """Let the reader say how much fits: money, or parts."""
    if is_budget:
        return st.number_input(
            f"Trade cost of the parts on one van ({verbatim(unit)})",
            min_value=0.0,
            value=float(page.settings["van_budget"]),
            step=250.0,
        )
    return float(
        st.number_input(
            "Parts that fit into one van",
            min_value=0,
            value=int(page.settings["van_slots"]),
            step=10,
        )
    )


def headline(plan: Plan, change: Saving) -> None:
    """Say what the stock covers and what that rests on."""
    need, stock = plan.need, plan.stock
    st.markdown(answer(plan, change))
    st.caption(
        f"Demand of {words.counted(need.van_periods, 'van-period')} of "
        f"{words.counted(plan.restock_days, 'day')} "
        f"({words.counted(need.vans, 'technician')}, one van each), "
        f"{need.jobs:.1f} jobs with parts in each. "
        + (
            "No stock within this limit covers more."
            if stock.is_exact
            else f"At best {words.percent(stock.bound / need.jobs, 1)} could be covered within "
            f"this limit: the stock found is at most {stock.gap * plan.per_year:,.1f} jobs a year "
            "short of it."
        )
    )


def coverage(plan: Plan, curve: list[CurvePoint], unit: str) -> None:
    """Draw the share of jobs covered against what is on board."""
    need, stock, share, today = plan.need, plan.stock, plan.share, plan.today.covered_share
    widgets.chart(
        charts_stock.coverage(
            pd.DataFrame(
                [(point.filled, point.covered / need.jobs) for point in curve],
                columns=["filled", "share"],
            ),
            (
                sum(stock.units[p] * (need.costs[p] if plan.is_budget else 1) for p in stock.units),
                share,
            ),
            today,
            f"trade cost of the parts ({unit})" if plan.is_budget else "parts",
        ),
        alt="Share of part jobs covered against what is on board; proposed "
        f"{words.percent(share)}, "
        f"today {words.percent(today)}.",
        key="coverage",
    )
    if plan.is_budget and len(need.costs) < len(need.demands):
        missing = len(need.demands) - len(need.costs)
        st.caption(
            f"{words.counted(missing, 'part number')} without any recorded cost are left out."
        )


def to_carry(page: Page, plan: Plan, table: pd.DataFrame) -> None:
    """List the parts to carry."""
    st.subheader("What to carry")
    table["component"] = [page.labels.of("component", c) for c in table["component"].fillna("")]
    table["units_a_year"] = table["demand_per_period"] * YEAR_DAYS / plan.restock_days
    table["jobs_a_year"] = table["jobs_completed_gain"] * plan.per_year
    widgets.table(
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
    widgets.download(table, "van_stock")


def to_take_off(page: Page, slow: pd.DataFrame, stock: VanStock) -> None:
    """List slow parts that are outside the proposed stock."""
    st.subheader("What to take off")
    slow = slow[~slow["part_no"].isin(stock.units)]
    if slow.empty:
        st.markdown("No part seen coming from a van is both slow and outside the proposed stock.")
    else:
        tied = slow["cost"].sum()
        st.markdown(
            f"{words.counted(len(slow), 'part number')} came from a van at least once, are not "
            "in the proposed stock and will more likely than not lie unused for a quarter"
            + (f"; one of each is worth {words.number(tied)}." if tied else ".")
        )
        slow["component"] = [page.labels.of("component", c) for c in slow["component"].fillna("")]
        widgets.table(
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


def answer(plan: Plan, change: Saving) -> str:
    """Say what the stock covers, what is covered today, and the difference in a year."""
    stock, today = plan.stock, plan.today
    units = sum(stock.units.values())
    text = (
        f"With {words.counted(units, 'part')} of {words.counted(len(stock.units), 'number')} on "
        f"board, **{words.percent(plan.share)} of the jobs that need parts** would find them all. "
        f"Today {words.percent(today.covered_share)} lose no trip for a part: of "
        f"{today.part_jobs:,} such jobs {today.needed_jobs:,} lost one for a part that was not "
        f"carried and {today.ordered_jobs:,} waited for one ordered on purpose."
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


if __name__ == "__main__":
    shell.show(draw)
