"""Order of tests: the usual one from records, the best one under the safety rules."""

from pathlib import Path

import pandas as pd
import pytest

from dashboard.diagnosis.chain_rows import NOT_ORDERED_PARTS, ChainRows, chain_rows
from dashboard.diagnosis.chains import build_chain, finding_chain
from dashboard.diagnosis.compute import propose
from dashboard.diagnosis.order_rules import first_checks, is_live
from dashboard.stats.sequencing.exact import broken_rules, expected_minutes, steps
from tests.ask import measure, run
from tests.diagnosis.drawn_jobs import LOCK, PUMP, job, reading, washers

FIRST = [
    "symptom", "appliance_kind", "position", "test_point", "usual_position", "expected_minutes",
    "usual_expected_minutes",
]  # fmt: skip
TRAP = "washer_drain_trap_check"


def complaint(folder: Path, kind: str, symptom: str) -> pd.DataFrame:
    table = measure(folder, "order_of_tests")
    return table[(table["appliance_kind"] == kind) & (table["symptom"] == symptom)]


def all_rows(folder: Path) -> dict[tuple[str, str], ChainRows]:
    return chain_rows(measure(folder, "order_of_tests"), lambda name: run(folder, name))


def test_columns_are_named_as_in_the_readme(sample_shop: Path):
    assert list(measure(sample_shop, "order_of_tests").columns[: len(FIRST)]) == FIRST


def test_the_usual_order_is_what_most_jobs_do_first_pair_by_pair(tmp_path: Path):
    """Five jobs test the lock before the pump, one the other way; four end after the lock."""
    names = [f"J{i}" for i in range(6)]
    readings = "".join(
        reading(n, LOCK, "1", seq=1) + reading(n, PUMP, "15", seq=2) for n in names[:5]
    )
    readings += reading("J5", PUMP, "15", seq=1) + reading("J5", LOCK, "1", seq=2)
    readings += "".join(reading(f"S{i}", LOCK, "OL") for i in range(4))
    jobs = "".join(job(name) for name in [*names, *(f"S{i}" for i in range(4))])
    tests = complaint(washers(tmp_path, jobs=jobs, readings=readings), "washer", "wont_drain")
    place = tests.set_index("test_point")["usual_position"]
    assert (place[LOCK], place[PUMP]) == (1, 2)
    assert place[TRAP] > 2  # never made: behind those that were, in the register's order
    assert tests["jobs_made"].max() == 10


def test_the_shops_own_minutes_count_from_five_readings_on(tmp_path: Path):
    tests = complaint(
        washers(
            tmp_path,
            jobs="".join(job(f"J{i}") for i in range(5)),
            readings="".join(reading(f"J{i}", PUMP, "15") for i in range(5)),
        ),
        "washer",
        "wont_drain",
    )
    row = tests.set_index("test_point").loc[PUMP]
    assert not row.is_own_time  # no minutes were written down: the register's 3 min
    assert row.test_min == 3


def test_the_planted_poor_order_is_found_with_its_saving(sample_shop: Path):
    """Washers that do not drain are tested from the hardest to reach on (sample_data/truth.csv)."""
    proposal = propose(all_rows(sample_shop)["washer", "wont_drain"])
    assert proposal.usual[0] == PUMP
    assert proposal.saving.saving_min > 10
    assert proposal.saving.low > 0
    assert proposal.saving.parts_at == 0


def test_the_planted_order_has_the_largest_saving_of_all(sample_shop: Path):
    table = measure(sample_shop, "order_of_tests").drop_duplicates(["appliance_kind", "symptom"])
    saving = table["usual_expected_minutes"] - table["expected_minutes"]
    worst = table.loc[saving.idxmax()]
    assert (worst.appliance_kind, worst.symptom) == ("washer", "wont_drain")


def test_every_best_order_keeps_every_safety_rule(sample_shop: Path):
    for rows in all_rows(sample_shop).values():
        proposal = propose(rows)
        assert broken_rules(proposal.chain, proposal.best.tests) == ()
        assert proposal.best.is_exact


def test_no_live_test_moves_before_a_dead_one_that_the_shop_makes_before_it(sample_shop: Path):
    """Except the first checks of the register, the supply among them: a rule of its own."""
    for (kind, _), rows in all_rows(sample_shop).items():
        proposal = propose(rows)
        live = set(rows.tests.loc[rows.tests["hazards"].map(is_live), "test_point"])
        usual, best = list(proposal.usual), list(proposal.best.tests)
        for test in set(best) & live:
            dead_before = [t for t in usual[: usual.index(test)] if t not in live]
            if test in first_checks(rows):
                continue
            assert all(best.index(dead) < best.index(test) for dead in dead_before), (kind, test)


def test_the_supply_check_comes_before_anything_is_opened_on_240_volts(sample_shop: Path):
    rows = all_rows(sample_shop)["dryer_electric", "no_heat"]
    proposal = propose(rows)
    first_opened = next(step for step in steps(proposal.chain, proposal.best.tests) if step.opened)
    assert first_opened.test == "block_l1_l2_v"


def test_microwave_high_voltage_is_in_no_order_of_tests(sample_shop: Path):
    tests = complaint(sample_shop, "microwave", "no_heat")
    assert not tests["component"].isin(NOT_ORDERED_PARTS).any()
    assert not tests["test_point"].str.startswith(("mw_hv_", "mw_magnetron")).any()


def test_a_test_that_fits_too_many_causes_condemns_none(sample_shop: Path):
    """A silent pump fits pump, board, lock, switch and wire: it narrows."""
    chain = build_chain(all_rows(sample_shop)["washer", "wont_drain"])
    sound = next(test for test in chain.tests if test.name == "washer_pump_sound_check")
    winding = next(test for test in chain.tests if test.name == PUMP)
    assert sound.condemns == frozenset()
    assert "drain_pump_open" in winding.condemns


def test_the_best_order_is_no_worse_than_the_usual_or_the_usual_breaks_a_rule(sample_shop: Path):
    for rows in all_rows(sample_shop).values():
        proposal = propose(rows)
        is_safe = not broken_rules(proposal.chain, proposal.usual)
        assert proposal.saving.saving_min >= -1e-9 or not is_safe


def test_what_if_minutes_and_mix_change_the_order(sample_shop: Path):
    rows = all_rows(sample_shop)["washer", "wont_drain"]
    dear = propose(rows, minutes={TRAP: 200.0})
    assert dear.best.tests[-1] == TRAP
    only_lock = propose(rows, counts={}, weights={"lid_lock_failed": 1.0})
    assert only_lock.best.tests[0] == LOCK
    assert only_lock.saving.low is None  # no own jobs in an invented mix


def test_expected_minutes_are_those_of_the_chain(sample_shop: Path):
    rows = all_rows(sample_shop)["washer", "wont_drain"]
    proposal = propose(rows)
    chain = finding_chain(rows)
    assert proposal.saving.better_min == pytest.approx(expected_minutes(chain, proposal.best.tests))
    assert proposal.saving.usual_min == pytest.approx(expected_minutes(chain, proposal.usual))


def test_an_empty_shop_gives_the_columns_only(tmp_path: Path):
    table = measure(washers(tmp_path, jobs=job("A")), "order_of_tests")
    assert table.empty
    assert list(table.columns[: len(FIRST)]) == FIRST
