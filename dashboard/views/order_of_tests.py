"""Order of tests: the shop's usual order, the best one, and the minutes between them."""

import pandas as pd
import streamlit as st

from dashboard.diagnosis import sequence_charts as charts_order
from dashboard.diagnosis.bench_card import bench_card
from dashboard.diagnosis.bench_card_html import html
from dashboard.diagnosis.chains import NOT_ORDERED_PARTS, ChainRows, chain_rows
from dashboard.diagnosis.compute import Proposal, propose
from dashboard.stats.sequencing.exact import broken_rules, steps
from dashboard.text import format as words
from dashboard.text.cautions import cautions
from dashboard.ui import shell, widgets
from dashboard.ui.complaint_picker import choose_complaint
from dashboard.ui.page import Page


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin("In which order should we test?")
    table = page.measure("order_of_tests")
    if table.empty:
        st.info(
            "Cannot be said from these records: no reading of a complaint whose tests the register "
            "knows is in this filter."
        )
        st.stop()
    counts = table.groupby(["appliance_kind", "symptom"])["jobs"].first()
    kind, symptom = choose_complaint(counts, page.labels)
    one = table[(table["appliance_kind"] == kind) & (table["symptom"] == symptom)]
    rows = chain_rows(one, lambda name: page.rows(name.removeprefix("pages/")))[kind, symptom]
    point_names = {point: page.labels.of("test_point", point) for point in one["test_point"]}

    minutes, mix = what_if(page, kind, point_names, rows, symptom)
    proposal, is_own_mix = proposal_for(minutes, mix, rows)
    st.markdown(answer(proposal, is_own_mix, point_names))
    st.caption(
        f"Usual order: pair by pair what most of {counts[kind, symptom]:,} jobs did first, as "
        f"written down, which is partly the order of typing. Cause mix: {rows.mix.n:,} own "
        "repairs blended with the register's general weights, which count as 20 jobs."
    )
    broken = broken_rules(proposal.chain, proposal.usual)
    warn(broken, point_names)
    best_steps = orders(point_names, proposal)
    all_tests(point_names, proposal, rows)
    closing = before_closing(page, kind, symptom)
    card_of(page, best_steps, closing, kind, proposal, rows, symptom, table)


def warn(broken: list[tuple[str, str]], point_names: dict[str, str]) -> None:
    """Warn where the usual order breaks safety rules."""
    if broken:
        told = "; ".join(f"{point_names[a]} before {point_names[b]}" for a, b in broken[:4])
        more = f" and {len(broken) - 4} more" if len(broken) > 4 else ""
        st.warning(f"The usual order breaks safety rules that the best one keeps: {told}{more}.")


def orders(point_names: dict[str, str], proposal: Proposal) -> list:
    """Draw both orders."""
    usual_steps = steps(proposal.chain, proposal.usual)
    best_steps = steps(proposal.chain, proposal.best.tests)
    if best_steps:
        widgets.chart(
            charts_order.two_orders(usual_steps, best_steps, point_names, proposal.saving.parts_at),
            alt="Best order: "
            + ", ".join(point_names[s.test] for s in best_steps)
            + ". Usual order: "
            + ", ".join(point_names[s.test] for s in usual_steps)
            + f". Expected minutes {proposal.saving.better_min:.0f} against "
            f"{proposal.saving.usual_min:.0f}.",
            key="orders",
        )
        st.caption(
            "The numbers are the places in the best order. A bar's length is the test with what is "
            "opened for it first, and the closing owed later. What no test of the chain settles is "
            "found by neither order."
        )
    return best_steps


def all_tests(point_names: dict[str, str], proposal: Proposal, rows: ChainRows) -> None:
    """List the tests in the best order."""
    ordered = order_table(rows, proposal, point_names)
    widgets.table(
        ordered,
        {
            "place": st.column_config.NumberColumn("Best"),
            "usual": st.column_config.NumberColumn("Usual"),
            "test": st.column_config.TextColumn("Test", width="medium"),
            "step_min": st.column_config.NumberColumn(
                "Minutes with opening and closing", format="%.0f"
            ),
            "found": st.column_config.NumberColumn("Faults found by then", format="percent"),
            "jobs_made": st.column_config.NumberColumn("Jobs that made it"),
            "remark": st.column_config.TextColumn("Remark", width="medium"),
        },
    )


def before_closing(page: Page, kind: str, symptom: str) -> pd.DataFrame:
    """Say what to test before the panel goes on."""
    closing = page.rows("chain_before_closing")
    closing = closing[(closing["appliance_kind"] == kind) & (closing["symptom"] == symptom)]
    if not closing.empty:
        st.subheader("Before closing")
        st.markdown(
            "What was found outside is often the effect of a second fault. Before the panel goes "
            "on:"
        )
        for row in closing.itertuples():
            cause = page.labels.of("cause", row.cause, kind)
            test = page.labels.of("test_point", row.test_point)
            st.markdown(f"- {cause}: **{test}** ({row.why})")
    return closing


def card_of(
    page: Page,
    best_steps: list,
    closing: pd.DataFrame,
    kind: str,
    proposal: Proposal,
    rows: ChainRows,
    symptom: str,
    table: pd.DataFrame,
) -> None:
    """Show the bench card and offer it to print."""
    if proposal.best.tests:
        st.subheader("Bench card")
        card = bench_card(rows, best_steps, closing, page.labels, cautions())
        boxes = {"danger": st.error, "warning": st.warning, "note": st.caption, "test": st.write}
        with st.container(border=True):
            for line in card.lines:
                boxes.get(line.kind, st.write)(
                    f"**{line.text}**" if line.kind in ("open", "heading") else line.text
                )
        widgets.offer(
            "Download the card to print",
            lambda: html(card),
            f"bench_card_{kind}_{symptom}.html",
            "text/html",
            key="card",
        )
    widgets.show_cautions("local_law", "records", "limits")
    widgets.download(table, "order_of_tests")
    widgets.how_counted("order_of_tests")


def what_if(
    page: Page, kind: str, point_names: dict[str, str], rows: ChainRows, symptom: str
) -> tuple[dict[str, float], dict[str, float]]:
    """Let the reader change minutes and mix; return minutes by test and weights by cause."""
    with st.expander("What if: other minutes, another mix of causes"):
        left, right = st.columns(2)
        with left:
            minutes = st.data_editor(
                pd.DataFrame(
                    {
                        "test_point": rows.tests["test_point"],
                        "test": rows.tests["test_point"].map(point_names),
                        "minutes": rows.tests["test_min"].astype(float),
                    }
                ),
                column_config={
                    "test_point": None,
                    "test": st.column_config.TextColumn("Test", disabled=True),
                    "minutes": st.column_config.NumberColumn("Minutes", min_value=0, max_value=240),
                },
                hide_index=True,
                key=f"minutes_{kind}_{symptom}",
            )
        with right:
            mix = st.data_editor(
                pd.DataFrame(
                    {
                        "cause": list(rows.mix.shares),
                        "label": [page.labels.of("cause", c, kind) for c in rows.mix.shares],
                        "jobs": [each.jobs for each in rows.mix.shares.values()],
                        "weight": [100 * each.share for each in rows.mix.shares.values()],
                    }
                ),
                column_config={
                    "cause": None,
                    "label": st.column_config.TextColumn("Cause", disabled=True),
                    "jobs": st.column_config.NumberColumn("Own jobs", disabled=True),
                    "weight": st.column_config.NumberColumn(
                        "Share, %", min_value=0, max_value=100, format="%.1f"
                    ),
                },
                hide_index=True,
                key=f"mix_{kind}_{symptom}",
            )
        st.caption(
            "Shares are used in proportion, they need not sum to 100. Minutes are those of the "
            "test alone, without opening and closing."
        )
    given = zip(minutes["test_point"], minutes["minutes"], strict=True)
    return (
        {point: float(value) for point, value in given if not words.is_missing(value)},
        {c: float(w or 0) for c, w in zip(mix["cause"], mix["weight"], strict=True)},
    )


def proposal_for(
    minutes: dict[str, float], mix: dict[str, float], rows: ChainRows
) -> tuple[Proposal, bool]:
    """Return the proposal and whether the mix is the shop's own."""
    own = {cause: 100 * each.share for cause, each in rows.mix.shares.items()}
    is_own = all(abs(mix[cause] - own[cause]) < 1e-6 for cause in own)
    if is_own:
        return propose(rows, minutes), True
    if sum(mix.values()) <= 0:
        st.warning("The mix holds no share above 0; the shop's own mix is used.")
        return propose(rows, minutes), True
    return propose(rows, minutes, counts={}, weights=mix), False


def answer(proposal: Proposal, is_own_mix: bool, point_names: dict[str, str]) -> str:
    """Say what the best order saves and where the two part."""
    saving = proposal.saving
    if not proposal.best.tests:
        return "**No order is proposed:** no test of this complaint condemns a part by itself."
    if saving.parts_at is None:
        return (
            f"**The shop's usual order is already the best**: {saving.usual_min:.0f} expected "
            "minutes until the fault is found."
        )
    text = (
        f"The best order takes **{saving.better_min:.0f} expected minutes** until the fault is "
        f"found, the shop's usual one {saving.usual_min:.0f}: "
    )
    gain = abs(saving.saving_min)
    if saving.saving_min >= 0:
        text += f"**{gain:.1f} minutes less a job**"
        if saving.low is not None and is_own_mix:
            text += f" ({saving.low:.1f} to {saving.high:.1f} over {saving.n:,} own jobs)"
    else:
        text += f"{gain:.1f} minutes more, because the usual order breaks a safety rule"
    first, other = proposal.best.tests[saving.parts_at], proposal.usual[saving.parts_at]
    return text + (
        f". They part at step {saving.parts_at + 1}: **{point_names[first]}** instead of "
        f"{point_names[other]}."
    )


def order_table(rows: ChainRows, proposal: Proposal, point_names: dict[str, str]) -> pd.DataFrame:
    """Return the tests in the best order, those in no order last, with the reason."""
    walked = {step.test: step for step in steps(proposal.chain, proposal.best.tests)}
    place = {name: n for n, name in enumerate(proposal.best.tests, start=1)}
    usual = {name: n for n, name in enumerate(proposal.usual, start=1)}
    tests = rows.tests.copy()
    tests["place"] = tests["test_point"].map(place).astype("Int64")
    tests["usual"] = tests["test_point"].map(usual).astype("Int64")
    tests["test"] = tests["test_point"].map(point_names)
    tests["step_min"] = [
        walked[point].minutes if point in walked else None for point in tests["test_point"]
    ]
    tests["found"] = [
        walked[point].found_by_then if point in walked else None for point in tests["test_point"]
    ]
    tests["remark"] = [_remark(row, place) for row in tests.itertuples()]
    return tests.sort_values(["place", "usual_position"]).reset_index(drop=True)


def _remark(row: object, place: dict[str, int]) -> str:
    if row.component in NOT_ORDERED_PARTS:
        return "in no order: trained or certified people only"
    if row.test_point not in place:
        return "narrows, settles no part: see “What to test next”"
    return "live" if "live" in str(row.hazards).split("|") else ""


if __name__ == "__main__":
    shell.show(draw)
