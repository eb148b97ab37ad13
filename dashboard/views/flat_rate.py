"""Flat rates: what should we charge, and which repairs are priced under what they cost?"""

from datetime import date

import pandas as pd
import streamlit as st

from dashboard.pricing import charts
from dashboard.pricing.plans import last_year
from dashboard.pricing.price_list import LAW, notes, rate_range
from dashboard.pricing.repair_prices import repair_prices
from dashboard.pricing.sentences import declined_words, losing_words, repair_label
from dashboard.pricing.terms import Terms, terms_of
from dashboard.rows import each_row
from dashboard.settings.definitions import PRICING
from dashboard.text import format as words
from dashboard.ui import columns, navigation, shell, widgets
from dashboard.ui.page import Page
from dashboard.ui.settings_form import settings_form

MOST_DRAWN = 12


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin("What should we charge?")
    terms = terms_of(page.settings)
    since = last_year(page.dataset.as_of.date())
    st.warning(
        f"{LAW} One price per repair for all customers, and show what is in it.",
        icon=":material/gavel:",
    )
    with st.spinner("Pricing every repair …"):
        table, plans = repair_prices(page.snapshot, page.filters, since)
    if table.empty:
        st.info("No repaired complaint with a repair code matches these filters. Remove a filter.")
        settings_form("Your rates and costs", PRICING, page.settings, page.folder, "pricing")
        st.stop()
    table = named(page, table, terms)
    st.markdown(losing_words(table, terms, page.currency))
    st.caption(not_counted(table))
    chosen = drawn(table, page.currency)
    row = in_full(page, table)
    chosen = row if row is not None else chosen
    if chosen is not None:
        kind, code = chosen.split("/", 1)
        navigation.go("one_repair", repair=repair_label(kind, code, page.labels))
    ways_to_plan(plans, since, page.currency)
    declined(page, terms)


def named(page: Page, table: pd.DataFrame, terms: Terms) -> pd.DataFrame:
    """Add labels, notes and the interval of the rate."""
    labels, rows = page.labels, list(each_row(table))
    edges = rate_range(table, terms)
    return table.assign(
        key=table["appliance_kind"] + "/" + table["repair_code"],
        label=[
            f"{labels.of('repair_code', r.repair_code, r.appliance_kind)}, "
            f"{labels.of('appliance_kind', r.appliance_kind)}"
            for r in rows
        ],
        note=notes(table),
        range=[
            words.MISSING
            if words.is_missing(low)
            else f"{words.money(low, page.currency)} to {words.money(high, page.currency)}"
            for low, high in zip(edges["low"], edges["high"], strict=True)
        ],
    )


def not_counted(table: pd.DataFrame) -> str:
    """Say which repairs are in no money figure."""
    unknown = int((table["jobs"] - table["costed_jobs"]).sum())
    return (
        f"Of {words.counted(int(table['jobs'].sum()), 'completed repair')}, {unknown:,} are left "
        "out of every money figure: their minutes, part costs or charge are not recorded. Wage, "
        "hours and overhead are examples until you enter your own under “Your rates and costs” "
        "below."
    )


def drawn(table: pd.DataFrame, currency: str | None) -> str | None:
    """Draw charged and proposed rates; return the key of the repair that was clicked."""
    drawable = table[table["proposed_rate"].notna() & table["median_charged"].notna()]
    losing = drawable[drawable["result_now"] < 0]
    top = (drawable if losing.empty else losing).head(MOST_DRAWN)
    if top.empty:
        return None
    low = int((top["median_charged"] < top["proposed_rate"]).sum())
    event = widgets.chart(
        charts.today_and_proposed(top, currency),
        alt="Charged today and proposed rate: "
        + "; ".join(
            f"{r.label} {words.money(r.median_charged, currency)} and "
            f"{words.money(r.proposed_rate, currency)}"
            for r in each_row(top)
        ),
        key="rates",
        title=(
            "The repairs that earned least, least first."
            if losing.empty
            else f"{low} of the {len(top)} repairs that lost most are charged under the proposed "
            "rate."
        ),
        on_select="rerun",
        selection_mode="points",
    )
    call = " A visit without a repair (leveling, explaining) is proposed at the diagnosis fee."
    st.caption(
        "Click a dot or a row to open the repair, see its jobs and try a price."
        + (call if top["is_call_fee"].any() else "")
    )
    return widgets.clicked(event)


def in_full(page: Page, table: pd.DataFrame) -> str | None:
    """List every repair; return the key of the row that was clicked."""
    currency = page.currency
    shown = {
        "label": columns.text("Repair"),
        "jobs": columns.count("Jobs", help="completed repairs; their returns are not counted"),
        "median_charged": columns.money("Charged today", currency, help="median"),
        "proposed_rate": columns.money("Proposed rate", currency),
        "result_now": columns.money(
            "Earned or lost", currency, help="charged less cost over all these jobs and returns"
        ),
    }
    row = widgets.clicked_row(table, shown, "repairs")
    widgets.download(table, "flat_rate", shown, ["key", "label", "range"])
    with st.expander("Details: ranges, margins and planned cost"):
        detail = details(table, currency)
    row = detail if row is None else row
    return table["key"].iloc[row] if row is not None else None


def details(table: pd.DataFrame, currency: str | None) -> int | None:
    """Show what each proposed rate rests on and what it changes; return the row clicked."""
    rests_on = {
        "label": columns.text("Repair"),
        "range": columns.text("95% range of the rate", help="from the planned minutes"),
        "planned_minutes": columns.minutes("Planned time"),
        "cost_to_serve": columns.money("Planned cost", currency),
        "callback_reserve": columns.money("For callbacks", currency, help="part of the cost"),
        "note": columns.text("Note"),
    }
    changes = {
        "label": columns.text("Repair"),
        "margin_now": columns.percent("Margin today"),
        "margin_proposed": columns.percent("Margin proposed"),
        "share_under_cost_now": columns.percent("Under cost today"),
        "share_under_cost_proposed": columns.percent("Under cost proposed"),
        "year_jobs": columns.count("Jobs in 12 months"),
        "year_change": columns.money("Change in 12 months", currency),
    }
    row = widgets.clicked_row(table, rests_on, "repair_details")
    st.caption(
        "“Few jobs”: under 10; the minutes borrow from other repairs of the appliance. Hard jobs "
        "that ended in a new appliance are not in the times."
    )
    changed = widgets.clicked_row(table, changes, "repair_changes")
    st.caption("Margin is a share of the price, not of the cost.")
    return changed if row is None else row


def ways_to_plan(plans: pd.DataFrame, since: date, currency: str | None) -> None:
    """Compare planning at the mean, P75 and P80."""
    if plans.empty:
        return
    st.subheader("Plan for the average job, or for most?")
    st.markdown(
        f"What the {words.counted(plans['jobs'].iloc[0], 'job')} closed since {words.day(since)} "
        "would have earned if every customer had still said yes. At the mean, jobs meet the target "
        "on average; P75 and P80 (75 or 80 of 100 jobs finish in time) are safer but overprice "
        "easy jobs. Jobs still under warranty may still come back."
    )
    widgets.table(
        plans,
        {
            "plan": columns.text("Minutes planned at"),
            "charged": columns.money("Charged", currency),
            "result": columns.money("Earned", currency),
            "profit_per_hour": columns.money("Profit per hour", currency, is_unit_price=True),
            "under_cost": columns.count("Jobs under cost"),
        },
    )


def declined(page: Page, terms: Terms) -> None:
    """Say what diagnoses cost that did not become a repair."""
    st.subheader("Diagnoses that did not become a repair")
    fee = page.settings["diagnosis_fee"]
    st.markdown(declined_words(page.rows("diagnoses").iloc[0], terms, fee, page.currency))
    settings_form("Your rates and costs", PRICING, page.settings, page.folder, "pricing")
    st.caption("Prices to hand out, and to approve, are on the page Price list.")
    widgets.show_cautions("local_law")
    widgets.how_counted("flat_rate")


if __name__ == "__main__":
    shell.show(draw)
