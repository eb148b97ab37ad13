"""Flat rates: what must each repair cost, and which ones are priced under what they cost?"""

from datetime import date

import pandas as pd
import streamlit as st

from dashboard.pricing import charts as charts_pricing
from dashboard.pricing.plans import last_year
from dashboard.pricing.price_list import LAW, notes, price_list_text
from dashboard.pricing.repair_prices import repair_prices
from dashboard.pricing.sentences import declined_words, losing_words
from dashboard.pricing.terms import Terms, terms_of
from dashboard.settings.definitions import PRICING
from dashboard.text import format as words
from dashboard.text.escape_markdown import verbatim
from dashboard.ui import shell, widgets
from dashboard.ui.page import Page
from dashboard.ui.settings_form import settings_form

TITLE = "What must each repair cost?"
MONEY, WHOLE, PART, MINUTES = "%.2f", "%.0f", "percent", "%.0f"
column = st.column_config
SHOWN = {
    "label": column.TextColumn("Repair"),
    "jobs": column.NumberColumn("Jobs", help="cured complaints; their returns are not counted"),
    "median_charged": column.NumberColumn("Charged today", format=MONEY, help="median"),
    "proposed_rate": column.NumberColumn("Proposed rate", format=MONEY),
    "rate_low": column.NumberColumn("95 % from", format=WHOLE, help="from the planned minutes"),
    "rate_high": column.NumberColumn("to", format=WHOLE),
    "result_now": column.NumberColumn(
        "Earned or lost", format=WHOLE, help="charged less cost over all these jobs, returns in"
    ),
    "share_under_cost_now": column.NumberColumn("Under cost today", format=PART),
    "share_under_cost_proposed": column.NumberColumn("Under cost then", format=PART),
    "margin_now": column.NumberColumn("Margin today", format=PART),
    "margin_proposed": column.NumberColumn("Margin then", format=PART),
    "cost_to_serve": column.NumberColumn("Planned cost", format=MONEY),
    "planned_minutes": column.NumberColumn("Planned minutes", format=MINUTES),
    "callback_reserve": column.NumberColumn("of it reserve", format=MONEY),
    "note": column.TextColumn("Note"),
    "year_jobs": column.NumberColumn("Jobs in 12 months"),
    "year_change": column.NumberColumn("12 months: change", format=WHOLE),
}


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin(TITLE)
    terms = terms_of(page.settings)
    since = last_year(page.dataset.as_of.date())
    unit = verbatim(page.dataset.currency or "the shop's currency")
    st.warning(
        f"{LAW} One price per repair for all customers, and show what is in it.",
        icon=":material/gavel:",
    )
    with st.spinner("Pricing every repair …"):
        table, plans = repair_prices(page.snapshot, page.filters, since)
    if table.empty:
        st.info(
            "No repaired complaint with a repair code is in this filter. Clear one at the left."
        )
        settings_form("Your terms", PRICING, page.settings, page.folder, "pricing")
        st.stop()
    named(page, table, terms)
    headline(table, terms, unit)
    drawn(table)
    in_full(page, table, terms)
    ways_to_plan(plans, since)
    declined(page, terms)


def named(page: Page, table: pd.DataFrame, terms: Terms) -> None:
    """Add labels, notes and the interval of the rate."""
    table["label"] = [
        f"{page.labels.of('repair_code', r.repair_code, r.appliance_kind)}, "
        f"{page.labels.of('appliance_kind', r.appliance_kind)}"
        for r in table.itertuples()
    ]
    table["note"] = notes(table)
    for edge in ("low", "high"):
        minutes = table[f"planned_{edge}"] - table["planned_minutes"]
        table[f"rate_{edge}"] = table["proposed_rate"] + (
            minutes / 60 * terms.labour_per_hour / (1 - terms.target_margin)
        )


def headline(table: pd.DataFrame, terms: Terms, unit: str) -> None:
    """Say how many repairs lose money, and what is not counted."""
    st.markdown(losing_words(table, terms))
    unknown = int((table["jobs"] - table["costed_jobs"]).sum())
    st.caption(
        f"Of {words.counted(table['jobs'].sum(), 'cured complaint')}, {unknown:,} are in no "
        "count of earned, lost or under cost: their minutes, part costs or charge are not "
        f"recorded. Money in {unit}. The wage, hours and overhead are an example of the "
        "arithmetic until you put in your own under “Your terms” below."
    )


def drawn(table: pd.DataFrame) -> None:
    """Draw charged and proposed rates."""
    drawable = table[table["proposed_rate"].notna() & table["median_charged"].notna()]
    losing = drawable[drawable["result_now"] < 0]
    top = (drawable if losing.empty else losing).head(12)
    if not top.empty:
        widgets.chart(
            charts_pricing.today_and_proposed(top),
            alt="Charged today and proposed rate: "
            + "; ".join(
                f"{r.label} {r.median_charged:,.0f} and {r.proposed_rate:,.0f}"
                for r in top.itertuples()
            ),
            key="rates",
        )
        st.caption(
            "The repairs that earned least, least first."
            if losing.empty
            else "The repairs that lost money, most first."
        )


def in_full(page: Page, table: pd.DataFrame, terms: Terms) -> None:
    """List every repair and offer the price list."""
    widgets.table(table, SHOWN)
    left, right = st.columns([1, 3])
    with left:
        widgets.download(table.drop(columns=["label"]), "flat_rate")
    with right:
        widgets.offer(
            "Price list with its assumptions (CSV)",
            lambda: price_list_text(table, page.labels, page.settings, terms),
            "price_list.csv",
            "text/csv",
            key="price_list",
        )
    st.page_link("views/one_repair.py", label="One repair: its minutes, and any price tried on it")
    st.caption(
        "Margin is a share of the price, not of the cost. “Few jobs”: under 10, the minutes lean "
        "on other repairs of the appliance. Hard jobs that were sold a new appliance are in no "
        "times."
    )


def ways_to_plan(plans: pd.DataFrame, since: date) -> None:
    """Compare planning at the mean, P75 and P80."""
    if not plans.empty:
        st.subheader("Mean, P75 or P80?")
        st.markdown(
            f"What the {words.counted(plans['jobs'].iloc[0], 'job')} closed since {since:%Y-%m-%d} "
            "would have left, had every customer still said yes. Priced at the mean, jobs meet the "
            "target on average; P75 and P80 buy safety and make simple jobs dear. You choose. Jobs "
            "still under warranty may yet come back."
        )
        widgets.table(
            plans,
            {
                "plan": column.TextColumn("Minutes planned at"),
                "charged": column.NumberColumn("Charged", format=WHOLE),
                "cost": column.NumberColumn("Cost", format=WHOLE),
                "result": column.NumberColumn("Left", format=WHOLE),
                "profit_per_hour": column.NumberColumn("Profit per hour", format=MONEY),
                "under_cost": column.NumberColumn("Jobs under cost"),
                "jobs": column.NumberColumn("of jobs"),
            },
        )


def declined(page: Page, terms: Terms) -> None:
    """Say what diagnoses cost that did not become a repair."""
    st.subheader("Diagnoses that did not become a repair")
    st.markdown(
        declined_words(page.rows("diagnoses").iloc[0], terms, page.settings["diagnosis_fee"])
    )
    settings_form("Your terms", PRICING, page.settings, page.folder, "pricing")
    widgets.show_cautions("local_law")
    widgets.how_counted("flat_rate")


if __name__ == "__main__":
    shell.show(draw)
