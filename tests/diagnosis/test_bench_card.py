"""The bench card: each caution before the step that needs it, and one sheet that stands alone."""

from html.parser import HTMLParser
from pathlib import Path

import pytest

from dashboard.database.labels import Labels
from dashboard.diagnosis.bench_card import all_steps, bench_card
from dashboard.diagnosis.bench_card_html import Card, CardLine, CardTest, card_lines, html
from dashboard.diagnosis.chain_rows import ChainRows, chain_rows
from dashboard.diagnosis.compute import propose
from dashboard.diagnosis.order_rules import is_live, needed_before
from dashboard.stats.sequencing.exact import steps
from dashboard.text.cautions import cautions
from tests import ask


def a_test(name: str, is_live: bool = False, is_energised: bool = False, **given) -> CardTest:
    return CardTest(
        name,
        given.get("limits", ""),
        3,
        given.get("opened", ()),
        frozenset(given.get("opened_hazards", ())),
        frozenset(given.get("hazards", ())),
        is_live,
        is_energised or is_live,
    )


def kinds(*tests: CardTest) -> list[str]:
    return [line.text if line.kind == "caution" else line.kind for line in card_lines(tests)]


def test_lock_out_comes_once_before_the_first_dead_step():
    assert kinds(a_test("a"), a_test("b")) == ["lock_out", "test", "test"]


def test_lock_out_comes_again_after_a_live_step():
    live = a_test("live", is_live=True)
    assert kinds(a_test("a"), live, a_test("b")) == [
        "lock_out", "test", "live", "test", "lock_out_again", "test",
    ]  # fmt: skip


def test_the_live_caution_is_said_once_and_each_live_test_bears_the_word():
    live = a_test("live", is_live=True)
    assert kinds(live, live) == ["live", "test", "test"]
    assert all("LIVE" in line.text for line in card_lines([live, live]) if line.kind == "test")


def test_what_only_narrows_is_under_a_heading_of_its_own():
    lines = card_lines([a_test("a"), a_test("b")], 1)
    assert [line.kind for line in lines] == ["caution", "test", "heading", "test"]


def test_a_look_at_the_closed_dead_machine_needs_no_lock_out():
    look = CardTest("gasket", "seals", 2, (), frozenset(), frozenset(), False, False, True)
    assert kinds(look, a_test("dead")) == ["test", "lock_out", "test"]


def test_a_look_at_the_closed_running_machine_needs_no_lock_out():
    look = a_test("look", is_energised=True)
    assert kinds(look, a_test("dead")) == ["test", "lock_out", "test"]


def test_a_hazard_is_shown_where_it_first_comes_up():
    opened = a_test("a", opened=("rear panel",), opened_hazards={"sharp"}, hazards={"hot"})
    assert kinds(opened, a_test("b", hazards={"hot"})) == [
        "hot", "sharp", "lock_out", "open", "test", "test",
    ]  # fmt: skip


def test_the_sheet_is_self_contained_html_and_escapes_its_input():
    card = Card("A < B", "basis", (CardLine("test", "x & y"),), ("vent",), ())
    text = html(card)
    assert "A &lt; B" in text
    assert "x &amp; y" in text
    assert "://" not in text  # no file, no font, no script from elsewhere
    HTMLParser().feed(text)


@pytest.mark.parametrize("wanted", [("refrigerator", "warm_fresh_food"), ("microwave", "no_heat")])
def test_cards_of_the_sample_shop_carry_their_cautions(sample_shop: Path, wanted):
    labels = Labels(ask.run(sample_shop, "pages/labels"))
    rows = chain_rows(
        ask.measure(sample_shop, "order_of_tests"), lambda name: ask.run(sample_shop, name)
    )[wanted]
    proposal = propose(rows)
    closing = ask.run(sample_shop, "pages/chain_before_closing")
    closing = closing[(closing["appliance_kind"] == wanted[0]) & (closing["symptom"] == wanted[1])]
    card = bench_card(rows, steps(proposal.chain, proposal.best.tests), closing, labels, cautions())
    texts = [line.text for line in card.lines]
    live, lock_out = cautions()["live"][1], cautions()["lock_out"][1]
    assert live in texts
    assert lock_out in texts
    for place, text in enumerate(texts):
        if "LIVE" in text:
            assert live in texts[:place]
    assert cautions()["local_law"][1] in [remark.text for remark in card.remarks]
    assert card.before_closing
    if wanted[0] == "microwave":
        assert cautions()["stored_energy"][1] in texts
        tests = [line.text for line in card.lines if line.kind == "test"]
        assert not [text for text in tests if "HV" in text or "magnetron" in text]
    assert len(html(card)) < 20_000


def test_an_open_defrost_heater_asks_for_thermostat_and_drain_before_closing(sample_shop: Path):
    """Two faults in one circuit hide behind each other (common practice, no source)."""
    closing = ask.run(sample_shop, "pages/chain_before_closing")
    heater = closing[closing["cause"] == "defrost_heater_open"]
    assert {"defrost_thermostat_cold", "defrost_drain_check"} <= set(heater["test_point"])


@pytest.fixture(scope="module")
def walked(sample_shop: Path) -> dict[tuple[str, str], tuple[ChainRows, list[str], list[str]]]:
    """Return by complaint of the sample shop: its rows, the tests as walked, those left."""
    result = {}
    table = ask.measure(sample_shop, "order_of_tests")
    for key, rows in chain_rows(table, lambda name: ask.run(sample_shop, name)).items():
        proposal = propose(rows)
        walk, left = all_steps(rows, steps(proposal.chain, proposal.best.tests))
        result[key] = (rows, [step.test for step in walk], [step.test for step in left])
    assert len(result) > 20
    return result


def test_ohms_of_a_part_come_before_its_volts(walked):
    """Where the same question can be answered dead, answer it dead (common practice, no source)."""
    compared = 0
    for key, (rows, walk, left) in walked.items():
        tests = rows.tests.set_index("test_point")
        order = [*walk, *left]
        for live in order:
            row = tests.loc[live]
            if not is_live(row.hazards) or row.quantity == "observation" or row.is_first:
                continue
            same = tests[
                (tests["component"] == row.component) & ~tests["is_energised"].astype(bool)
            ]
            for dead in set(same.index) & set(order):
                compared += 1
                assert order.index(dead) < order.index(live), (key, dead, live)
    assert compared > 5


def test_a_look_that_others_must_precede_comes_after_them(walked):
    """The air's temperature drop says nothing while the filter is dirty (common practice)."""
    for key, (rows, walk, left) in walked.items():
        order = [*walk, *left]
        for earlier, later in needed_before(rows):
            assert order.index(earlier) < order.index(later), (key, later)
    order = walked["room_ac", "not_cooling"][1]
    assert order.index("ac_filter_coil_check") + 1 == order.index("ac_temp_drop")


def test_nothing_is_measured_that_reads_alike_whatever_is_wrong(walked):
    """Ohms of a valve's coil find no leak."""
    for key, (rows, _, left) in walked.items():
        seen = rows.matrix.groupby("test_point")["outside"].max().astype(float)
        assert (seen.reindex(left) > 0.1).all(), key
    for kind in ("washer", "dishwasher"):
        shown = [test for part in walked[kind, "leaks"][1:] for test in part]
        assert shown and not [test for test in shown if "inlet_valve_ohm" in test]


def test_a_burner_is_watched_before_its_parts_are_measured(walked):
    order = walked["dryer_gas", "no_heat"][1]
    place = order.index("gas_igniter_glow_check")
    assert all(order.index(test) > place for test in order if test.startswith("gas_coil"))
