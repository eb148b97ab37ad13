"""Order of tests: the shop's usual order, the best one, and the minutes between them."""

from collections.abc import Sequence
from typing import Any, cast

import pandas as pd
import streamlit as st

from dashboard.diagnosis import order_sentences
from dashboard.diagnosis import sequence_charts as charts_order
from dashboard.diagnosis.bench_card import bench_card
from dashboard.diagnosis.bench_card_html import html
from dashboard.diagnosis.chain_rows import ChainRows
from dashboard.diagnosis.compute import Proposal
from dashboard.rows import each_row
from dashboard.stats.sequencing.exact import Step, broken_rules, steps
from dashboard.text import format as words
from dashboard.text.cautions import cautions
from dashboard.ui import columns, shell, widgets
from dashboard.ui.complaint_picker import choose_complaint
from dashboard.ui.page import Page
from dashboard.views.sections import jobs_tested
from dashboard.views.sections.complaint_tests import tests_of, tests_of_all
from dashboard.views.sections.order_what_if import proposal_for, what_if

SHOWN = {
    "place": columns.count("Best order"),
    "usual": columns.count("Your order"),
    "test": columns.text("Test"),
    "step_min": columns.minutes(
        "Time", help="with what is opened for it and the closing owed later"
    ),
    "found": columns.percent("Faults found by then"),
}


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin("In which order should we test?")
    table = tests_of_all(page)
    saved = savings(table)
    kind, symptom = choose_complaint(saved, page.labels, opens_on=cast(Any, saved.idxmax()))
    rows = tests_of(page, table, kind, symptom)
    names = {point: page.labels.of("test_point", point) for point in rows.tests["test_point"]}

    finding = st.container()
    minutes, mix = what_if(page, kind, names, rows, symptom)
    proposal, is_own_mix = proposal_for(minutes, mix, rows)
    with finding:
        st.markdown(order_sentences.answer(proposal, is_own_mix, names))
    warn(broken_rules(proposal.chain, proposal.usual), names)
    best_steps, clicked = orders(names, proposal)
    closing = page.rows("chain_before_closing")
    closing = closing[(closing["appliance_kind"] == kind) & (closing["symptom"] == symptom)]
    all_tests(page, kind, symptom, order_sentences.order_table(rows, proposal, names), clicked)
    before_closing(page, kind, closing)
    card_of(page, best_steps, closing, rows)
    details(int(rows.tests["jobs"].iloc[0]), rows)
    widgets.download(table, "order_of_tests")
    widgets.how_counted("order_of_tests")


def savings(table: pd.DataFrame) -> pd.Series:
    """Return the minutes that the best order saves by complaint; without an order below none."""
    first = table.groupby(["appliance_kind", "symptom"])[
        ["usual_expected_minutes", "expected_minutes"]
    ].first()
    saved = (first["usual_expected_minutes"] - first["expected_minutes"]).astype(float)
    return saved.fillna(saved.min() - 1 if saved.notna().any() else 0.0)


def warn(broken: Sequence[tuple[str, str]], names: dict[str, str]) -> None:
    """Warn where the usual order breaks safety rules."""
    if broken:
        shown = "; ".join(f"{names[a]} before {names[b]}" for a, b in broken[:4])
        more = f" and {len(broken) - 4} more" if len(broken) > 4 else ""
        st.warning(f"The usual order breaks safety rules that the best one keeps: {shown}{more}.")


def orders(names: dict[str, str], proposal: Proposal) -> tuple[Sequence[Step], str | None]:
    """Draw both orders; return the steps of the best one, and the test clicked."""
    usual_steps = steps(proposal.chain, proposal.usual)
    best_steps = steps(proposal.chain, proposal.best.tests)
    clicked = None
    if best_steps:
        event = widgets.chart(
            charts_order.two_orders(usual_steps, best_steps, names, proposal.saving.parts_at),
            alt="Best order: "
            + ", ".join(names[s.test] for s in best_steps)
            + ". Usual order: "
            + ", ".join(names[s.test] for s in usual_steps)
            + f". Expected {words.minutes(proposal.saving.better_min)} against "
            f"{words.minutes(proposal.saving.usual_min)}.",
            key="orders",
            on_select="rerun",
            selection_mode="points",
        )
        clicked = widgets.clicked(event)
        st.caption(
            "Numbers are places in the best order. A bar is as long as the test takes, with what "
            "is opened for it and the closing owed later. Click one to list its jobs below."
        )
    return best_steps, clicked


def all_tests(
    page: Page, kind: str, symptom: str, ordered: pd.DataFrame, clicked: str | None
) -> None:
    """List the tests in the best order, and the jobs of the one clicked, at first the first.

    `clicked`: the test clicked on the chart.
    """
    st.subheader("Every test")
    st.caption("Click a test for the jobs on which it was made.")
    row = widgets.clicked_row(ordered, SHOWN, f"tests_{kind}_{symptom}")
    tests = [str(each) for each in ordered["test_point"]]
    first = clicked if clicked is not None and clicked in tests else tests[0]
    test = first if row is None else tests[row]
    jobs_tested.draw_jobs(page, kind, symptom, test)


def details(jobs: int, rows: ChainRows) -> None:
    """Say under Details what the orders rest on."""
    with st.expander("Details"):
        st.markdown(
            f"Your usual order: pair by pair, what most of {words.counted(jobs, 'job')} did first, "
            "in the order entered. Cause mix: "
            f"{words.counted(rows.mix.n, 'repair')} of your own, blended with the register's "
            "general weights, which count as 20 jobs. Faults that no test of this list settles "
            "are found by neither order."
        )


def before_closing(page: Page, kind: str, closing: pd.DataFrame) -> None:
    """Say what to test before the panel goes on."""
    if closing.empty:
        return
    st.subheader("Before closing")
    st.markdown("A bad part is often the effect of a second fault. Before the panel goes on:")
    for row in each_row(closing):
        cause = page.labels.of("cause", row.cause, kind)
        test = page.labels.of("test_point", row.test_point)
        st.markdown(f"- {cause}: **{test}** ({row.why})")


def card_of(page: Page, best_steps: Sequence[Step], closing: pd.DataFrame, rows: ChainRows) -> None:
    """Show the bench card with its cautions and offer it to print."""
    if best_steps:
        st.subheader("Bench card")
        card = bench_card(rows, best_steps, closing, page.labels, cautions())
        with st.container(border=True):
            for line in card.lines:
                write = widgets.BOXES.get(line.kind, st.markdown)
                write(f"**{line.text}**" if line.kind in ("open", "heading") else line.text)
        first = rows.tests.iloc[0]
        widgets.offer(
            "Download the card to print",
            lambda: html(card),
            f"bench_card_{first.appliance_kind}_{first.symptom}.html",
            "text/html",
            key="card",
        )
    widgets.show_cautions("local_law", "records", "limits")


if __name__ == "__main__":
    shell.show(draw)
