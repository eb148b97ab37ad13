"""The order of tests in words: what a better order saves, and each test's row."""

from collections.abc import Mapping

import pandas as pd

from dashboard.diagnosis.chain_rows import NOT_ORDERED_PARTS, ChainRows
from dashboard.diagnosis.compute import Proposal
from dashboard.diagnosis.order_rules import is_live
from dashboard.rows import Row, each_row
from dashboard.stats.sequencing.exact import steps
from dashboard.text.format import minutes, number


def answer(proposal: Proposal, is_own_mix: bool, names: Mapping[str, str]) -> str:
    """Say what the best order saves and where the two differ; `names` by test point."""
    saving = proposal.saving
    if not proposal.best.tests:
        return "**No order is proposed:** no test of this complaint condemns a part by itself."
    if saving.parts_at is None:
        return (
            f"**Your usual order is already the best:** {minutes(saving.usual_min)} expected until "
            "the fault is found."
        )
    first, other = proposal.best.tests[saving.parts_at], proposal.usual[saving.parts_at]
    return (
        f"{_gain(proposal, is_own_mix)} The best order takes {minutes(saving.better_min)} on "
        f"average until the fault is found, your usual order {minutes(saving.usual_min)}. They "
        f"differ from step {saving.parts_at + 1}: **{names[first]}** instead of {names[other]}."
    )


def _gain(proposal: Proposal, is_own_mix: bool) -> str:
    saving = proposal.saving
    if saving.saving_min < 0:
        more = _minutes(-saving.saving_min)
        return f"**{more} more a job**, because the usual order breaks a safety rule."
    text = f"**Test in another order and save {_minutes(saving.saving_min)} a job**"
    if saving.low is None or not is_own_mix:
        return f"{text}."
    return (
        f"{text} ({number(saving.low, 1)}–{number(saving.high, 1)}, from {saving.n:,} of your own "
        "jobs)."
    )


def _minutes(value: float) -> str:
    """Write a saving: whole minutes from ten on, else with one decimal."""
    return f"{number(value, 0 if value >= 10 else 1)} min"


def order_table(rows: ChainRows, proposal: Proposal, names: Mapping[str, str]) -> pd.DataFrame:
    """Return the tests in the best order; those in no order last, with the reason in the name."""
    walked = {step.test: step for step in steps(proposal.chain, proposal.best.tests)}
    place = {name: n for n, name in enumerate(proposal.best.tests, start=1)}
    usual = {name: n for n, name in enumerate(proposal.usual, start=1)}
    tests = rows.tests.copy()
    points = tests["test_point"]
    tests["place"] = points.map(place).astype("Int64")
    tests["usual"] = points.map(usual).astype("Int64")
    tests["test"] = [_named(row, names, place) for row in each_row(tests)]
    tests["step_min"] = [walked[p].minutes if p in walked else None for p in points]
    tests["found"] = [walked[p].found_by_then if p in walked else None for p in points]
    return tests.sort_values(["place", "usual_position"]).reset_index(drop=True)


def _named(row: Row, names: Mapping[str, str], place: Mapping[str, int]) -> str:
    name = names[row.test_point]
    if row.component in NOT_ORDERED_PARTS:
        return f"{name} (in no order: trained or certified people only)"
    if row.test_point not in place:
        return f"{name} (narrows down, settles no part)"
    return f"{name} (live)" if is_live(row.hazards) else name
