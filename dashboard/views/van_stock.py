"""Van stock: which parts on board let most jobs be finished on the first visit?"""

from dataclasses import dataclass

import pandas as pd
import streamlit as st

from dashboard.settings.definitions import STOCK
from dashboard.stats.inventory.curve import CurvePoint
from dashboard.stats.inventory.model import VanStock
from dashboard.text import format as words
from dashboard.text.escape_markdown import verbatim
from dashboard.ui import columns, navigation, shell, widgets
from dashboard.ui.page import Page
from dashboard.ui.settings_form import settings_form
from dashboard.van_stock import charts as charts_stock
from dashboard.van_stock.compute import Need
from dashboard.van_stock.contents import filled, needed
from dashboard.van_stock.trips import YEAR_DAYS, PartTrips, Saving, saving

LIMITS = {"budget": "Budget", "slots": "Slots"}


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin("Which parts belong on the van?")
    days = page.settings["restock_days"]
    need, today, slow = needed(page.snapshot, page.filters)
    if not need.kits:
        st.info(
            "**Cannot be said:** no attended job in these filters has a recorded part number. This "
            "page needs part lines (job, part number, quantity, cost)."
        )
        st.stop()
    left, right = st.columns(2)
    with left:
        is_budget = choose_limit(need)
    with right:
        capacity = choose_capacity(page, is_budget)
    with st.spinner("Filling the van …"):
        stock, table, curve = filled(page.snapshot, page.filters, capacity, is_budget)
    plan = Plan(need, today, stock, is_budget, days)
    st.markdown(answer(plan, saving(need, stock, today, page.settings), page.currency))
    coverage(plan, curve, page.currency)
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
    limit: str = st.segmented_control(
        "Limited by",
        choices,
        default=choices[0],
        format_func=LIMITS.__getitem__,
        key="limit",
        bind="query-params",
        required=True,
    )
    return limit == "budget"


def choose_capacity(page: Page, is_budget: bool) -> float:
    """Let the reader say how much fits: money, or parts."""
    if is_budget:
        return st.number_input(
            f"Cost of the parts on one van{in_currency(page.currency)}",
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


def in_currency(currency: str | None) -> str:
    """Write ", USD"; '' where the currency is not known."""
    return f", {verbatim(currency)}" if currency else ""


def rests_on(plan: Plan) -> str:
    """Say what the stock rests on, and how near it is to the best."""
    need, stock = plan.need, plan.stock
    text = (
        f"Demand of {words.counted(need.van_periods, 'van-period')} of "
        f"{words.counted(plan.restock_days, 'day')} "
        f"({words.counted(need.vans, 'technician')}, one van each), "
        f"{need.jobs:.1f} jobs with parts in each. "
    )
    if stock.is_exact:
        return text + "No stock within this limit covers more."
    return text + (
        f"At best {words.percent(stock.bound / need.jobs, 1)} could be covered within this limit: "
        f"the stock found is at most {stock.gap * plan.per_year:,.1f} jobs a year short of it."
    )


def coverage(plan: Plan, curve: list[CurvePoint], currency: str | None) -> None:
    """Draw the share of jobs covered against what is on board."""
    need, stock, share, today = plan.need, plan.stock, plan.share, plan.today.covered_share
    filled_to = sum(
        count * (need.costs[part] if plan.is_budget else 1) for part, count in stock.units.items()
    )
    finding = (
        f"This stock covers {words.percent(share)} of the jobs that need parts; today "
        f"{words.percent(today)} are covered."
    )
    widgets.chart(
        charts_stock.coverage(
            pd.DataFrame(
                [(point.filled, point.covered / need.jobs) for point in curve],
                columns=["filled", "share"],
            ),
            (filled_to, share),
            today,
            f"cost of the parts on one van{in_currency(currency)}"
            if plan.is_budget
            else "parts on one van",
        ),
        alt=finding,
        key="coverage",
        title=finding,
    )
    with st.expander("Details: what this rests on"):
        st.caption(rests_on(plan))
        if plan.is_budget and len(need.costs) < len(need.demands):
            missing = len(need.demands) - len(need.costs)
            st.caption(
                f"{words.counted(missing, 'part number')} without any recorded cost left out."
            )


def with_names(page: Page, parts: pd.DataFrame) -> pd.DataFrame:
    """Add the trade names of the parts."""
    names = [
        page.labels.of("component", c) if c else "not named" for c in parts["component"].fillna("")
    ]
    return parts.assign(name=[words.capitalized(name) for name in names])


def to_carry(page: Page, plan: Plan, table: pd.DataFrame) -> None:
    """List the parts to carry; a row opens the jobs that needed the part."""
    st.subheader("What to carry")
    table = with_names(page, table).assign(
        units_a_year=table["demand_per_period"] * YEAR_DAYS / plan.restock_days,
        jobs_a_year=table["jobs_completed_gain"] * plan.per_year,
    )
    shown = {
        "part_no": columns.text("Part number"),
        "name": columns.text("Part"),
        "carry": columns.count("Carry"),
        "cost": columns.money("Cost of one", page.currency, is_unit_price=True),
        "jobs_a_year": columns.count(
            "Jobs a year", 1, help="finished on the first visit only because it is on board"
        ),
    }
    carried = table[table["carry"] > 0]
    st.caption("Click a part to see the jobs that needed it.")
    open_part(carried, shown, "carry")
    widgets.download(table, "van_stock", shown, ["name"])
    with st.expander("Details: how often each part is needed"):
        open_part(
            carried,
            {
                "part_no": columns.text("Part number"),
                "name": columns.text("Part"),
                "units_a_year": columns.count("Units a year, one van", 1),
                "chance_enough": columns.percent(
                    "Enough", help="chance that no more is needed before the next restock"
                ),
            },
            "carry_details",
        )


def open_part(parts: pd.DataFrame, shown: columns.Columns, key: str) -> None:
    """Show part numbers; a click on a row opens the jobs that needed the part."""
    row = widgets.clicked_row(parts, shown, key)
    if row is not None:
        navigation.go("jobs", list="van_part", part_no=parts["part_no"].iloc[row])


def to_take_off(page: Page, slow: pd.DataFrame, stock: VanStock) -> None:
    """List slow parts that are outside the proposed stock; a row opens its jobs."""
    st.subheader("What to take off")
    slow = slow[~slow["part_no"].isin(stock.units)]
    if slow.empty:
        st.markdown("No part seen coming from a van is both slow and outside the proposed stock.")
        return
    tied = slow["cost"].sum()
    worth = f"; one of each costs {verbatim(words.money(tied, page.currency))}" if tied else ""
    st.markdown(
        f"**{words.counted(len(slow), 'part number')} will more likely than not sit unused for a "
        f"quarter.** They came from a van at least once and are not in the proposed stock{worth}."
    )
    open_part(
        with_names(page, slow),
        {
            "part_no": columns.text("Part number"),
            "name": columns.text("Part"),
            "chance_unused": columns.percent("Unused in a quarter"),
            "last_needed_on": columns.day("Last needed"),
            "cost": columns.money("Cost of one", page.currency, is_unit_price=True),
        },
        "slow",
    )
    st.caption("What is on board is not recorded: it is inferred from parts that came from a van.")


def answer(plan: Plan, change: Saving, currency: str | None) -> str:
    """Say what the stock covers, what is covered today, and the difference in a year."""
    stock, today = plan.stock, plan.today
    units = sum(stock.units.values())
    numbers = words.counted(len(stock.units), "part number")
    text = (
        f"With {words.counted(units, 'part')} ({numbers}) on board, **{words.percent(plan.share)} "
        "of the jobs that need parts** would find them all. Today "
        f"{words.percent(today.covered_share)} lose no trip for a part: of {today.part_jobs:,} "
        f"such jobs {today.needed_jobs:,} lost one for a part that was not on the van and "
        f"{today.ordered_jobs:,} waited for one that was ordered."
    )
    if change.jobs <= 0:
        return text + (
            "\n\n**Today's vans do better than this limit allows.** They carry more, or restock "
            "more often, than is set here. Raise the limit to where the curve passes today's line."
        )
    text += f"\n\n**About {change.jobs:,.0f} more jobs a year would be done on the first visit**"
    if change.minutes is None:
        return text + "; what a lost trip costs in minutes cannot be said from these records."
    return text + (
        f", worth {words.minutes(change.minutes)} and "
        f"{verbatim(words.money(change.money, currency))} of labor. A job that lost a trip took "
        f"{words.minutes(today.extra_min)} more, with travel, than the same repair in one visit "
        f"({words.counted(today.compared_jobs, 'job')} compared)."
    )


if __name__ == "__main__":
    shell.show(draw)
