"""Price list: what we charge from now on, price by price; approved here, printed, handed out."""

from collections.abc import Sequence
from typing import Any

import pandas as pd
import streamlit as st

from dashboard.pricing import price_list_files as files
from dashboard.pricing.approvals import may_approve, read_approvals
from dashboard.pricing.price_list import LAW, PriceList, assumptions
from dashboard.pricing.price_list_sentences import filtered_words, list_words
from dashboard.pricing.read_price_list import read_price_list
from dashboard.rows import each_row
from dashboard.text import format as words
from dashboard.text.escape_markdown import verbatim
from dashboard.ui import columns, shell, widgets
from dashboard.ui.page import Page
from dashboard.views.sections import one_price

SCOPE, WHOLE, FILTERED = "scope", "whole shop", "filtered jobs only"


def draw(page: Page) -> None:
    """Draw the page."""
    asks_filters = page.records is not None and page.filters != page.whole_shop().filters
    is_filtered = asks_filters and wanted_scope() == FILTERED
    page.begin("What do we charge, and what should we charge?", is_whole_shop=not is_filtered)
    if asks_filters:
        st.segmented_control(
            "Prices from", [WHOLE, FILTERED], default=WHOLE, key=SCOPE, bind="query-params",
            required=True,
        )  # fmt: skip
    own = page if is_filtered else page.whole_shop()
    st.warning(LAW, icon=":material/gavel:")
    with st.spinner("Pricing every repair …"):
        made = read_price_list(own.snapshot, own.filters)
    if made.rows.empty:
        st.info("No repaired complaint with a repair code is in these records, so no price.")
        st.stop()
    if made.filtered:
        st.error(verbatim(filtered_words(made)))
    st.markdown(list_words(made))
    key = listed(made)
    if key is not None:
        one_price.show(own, made, made.rows.set_index("key", drop=False).loc[key])
    offers(made)
    model_prices(own, made)
    history(own, made)
    basis(made)
    widgets.show_cautions("local_law")
    widgets.how_counted("flat_rate")


def wanted_scope() -> str:
    """Return the scope chosen in this session, or by the link."""
    return st.session_state.get(SCOPE) or st.query_params.get(SCOPE) or WHOLE


def listed(made: PriceList) -> str | None:
    """List the prices; return the key of the one that is opened."""
    rows = made.rows.assign(
        status=[files.status(row) for row in each_row(made.rows)],
    )
    shown = {
        "label": columns.text("Repair"),
        "price_now": columns.money("Now", made.currency, help="approved, else the median charge"),
        "proposed_rate": columns.money("New price", made.currency),
        "jobs": columns.count("Jobs"),
        "status": columns.text("Status"),
    }
    row = widgets.clicked_row(rows, shown, "prices")
    st.caption("Click a row to see what it rests on, its jobs, and to approve its price.")
    if row is not None:
        st.session_state["opened_price"] = rows["key"].iloc[row]
    opened = st.session_state.get("opened_price")
    return opened if opened in set(rows["key"]) else None


def offers(made: PriceList) -> None:
    """Offer the list as files."""
    with st.container(horizontal=True):
        for label, content, ending, mime in (
            ("For customers (to print)", files.customers_html, "_customers.html", "text/html"),
            ("With its basis (to print)", files.list_html, ".html", "text/html"),
            ("Download (CSV)", files.price_list_text, ".csv", "text/csv"),
        ):
            name = f"{made.file_name}{ending}"
            widgets.offer(label, lambda make=content: make(made), name, mime, key=f"offer_{ending}")
    st.caption(
        "The list for customers holds approved prices only, without cost or margin. Print a file "
        "from the browser."
    )


def model_prices(page: Page, made: PriceList) -> None:
    """Say which repairs take different times on different models, and how that was asked."""
    st.subheader("One repair, two kinds of job?")
    groups = page.measure("model_groups")
    compared = groups[groups["side"] == "quick"]
    two = made.rows[made.rows["side"] != ""]
    if two.empty:
        st.markdown(
            f"**No repair needs two prices by model**, of {words.counted(len(compared), 'repair')} "
            "whose models can be compared: their minutes differ no more than chance allows."
        )
    for key, rows in two.groupby(["appliance_kind", "repair_code"]):
        st.markdown(verbatim(two_prices(rows, groups, key)))
    with st.expander("How the models are compared"):
        widgets.how_counted("model_groups", within=True)


def two_prices(rows: pd.DataFrame, groups: pd.DataFrame, key: Sequence[Any]) -> str:
    """Write the two prices of one repair: models, minutes, and how sure the difference is."""
    found = groups[(groups["appliance_kind"] == key[0]) & (groups["repair_code"] == key[1])].iloc[0]
    sides = "; ".join(
        f"{row.models}: {words.minutes(row.p50_minutes)} ({words.counted(row.jobs, 'job')})"
        for row in each_row(rows)
    )
    return (
        f"{rows['label'].iloc[0].rsplit(', ', 1)[0]}: two prices. Half of the jobs take at most: "
        f"{sides}. The slower models take {found.ratio:.2f} times as long (95% range "
        f"{found.ratio_low:.2f}–{found.ratio_high:.2f})."
    )


def history(page: Page, made: PriceList) -> None:
    """List approvals and undos."""
    steps = read_approvals(page.folder).steps
    with st.expander(
        f"History: {words.counted(len(steps), 'step') if len(steps) else 'nothing yet'}"
    ):
        if not steps:
            st.caption("No price was approved yet.")
            return
        table = files.history_table(steps, page.labels)
        shown = {
            "at": columns.text("When"),
            "role": columns.text("Role"),
            "what": columns.text("What"),
            "label": columns.text("Repair"),
            "old_price": columns.money("Before", made.currency),
            "price": columns.money("Approved", made.currency),
            "effective_on": columns.day("From"),
        }
        widgets.table(table, shown)
        widgets.download(table, "price_history")


def basis(made: PriceList) -> None:
    """List the assumptions; change them on the page Flat rates."""
    with st.expander("What the prices rest on"):
        widgets.table(assumptions(made.settings, made.terms))
        st.caption("Change these on the page Flat rates, under “Your rates and costs”.")
        if not may_approve():
            st.caption("Only the owner and the pricing role approve prices.")


if __name__ == "__main__":
    shell.show(draw)
