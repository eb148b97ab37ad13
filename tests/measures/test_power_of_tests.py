"""Power of a test from records, by washers drawn and counted by hand."""

from pathlib import Path

import pytest

from tests.ask import measure
from tests.diagnosis.drawn_jobs import LOCK, PUMP, job, reading, washers

FIRST = [
    "symptom", "cause", "test_point", "tp", "fp", "fn", "tn", "sensitivity", "sens_low",
    "sens_high", "specificity", "spec_low", "spec_high", "lr_pos", "lr_neg",
]  # fmt: skip


@pytest.fixture
def drawn(tmp_path: Path) -> Path:
    """Pump open: 3 read OL, 1 read 15, 1 not tested. Lock failed: 1 OL, 2 read 15. Two unsettled."""
    cause = {f"P{i}": "drain_pump_open" for i in range(5)} | {
        f"L{i}": "lid_lock_failed" for i in range(3)
    }
    jobs = "".join(job(name, what) for name, what in cause.items())
    jobs += job("D", "", disposition="declined") + job("N", "", disposition="no_fault_found")
    values = {"P0": "OL", "P1": "OL", "P2": "OL", "P3": "15", "L0": "OL", "L1": "15", "L2": "15"}
    values |= {"D": "OL", "N": "15"}
    return washers(
        tmp_path,
        jobs=jobs,
        readings="".join(reading(name, PUMP, value) for name, value in values.items()),
    )


def pump_row(folder: Path, cause: str = "drain_pump_open"):
    table = measure(folder, "power_of_tests")
    return table[(table["cause"] == cause) & (table["test_point"] == PUMP)].iloc[0]


def test_columns_are_named_as_in_the_readme(drawn: Path):
    assert list(measure(drawn, "power_of_tests").columns[: len(FIRST)]) == FIRST


def test_the_four_counts_and_what_is_left_out(drawn: Path):
    row = pump_row(drawn)
    assert (row.tp, row.fn, row.fp, row.tn) == (3, 1, 1, 2)
    assert (row.unverified_outside, row.unverified_inside) == (1, 1)  # D and N
    assert row.not_made == 1  # P4


def test_shares_and_ratios_follow_from_the_counts(drawn: Path):
    row = pump_row(drawn)
    assert row.sensitivity == pytest.approx(3 / 4)
    assert row.specificity == pytest.approx(2 / 3)
    assert row.lr_pos == pytest.approx((3 / 4) / (1 / 3))
    assert row.lr_neg == pytest.approx((1 / 4) / (2 / 3))


def test_unsettled_jobs_bound_the_sensitivity(drawn: Path):
    """At worst N's inside reading hid the fault: 3 of 5; at best D's outside was right: 4 of 5."""
    row = pump_row(drawn)
    assert row.sens_lowest == pytest.approx(3 / (4 + 1))
    assert row.sens_highest == pytest.approx(4 / (4 + 1))


def test_the_first_verdict_of_a_job_counts(tmp_path: Path):
    """The winding read open, the pump was changed, the new one read 15: the test had found it."""
    folder = washers(
        tmp_path,
        jobs=job("A"),
        readings=reading("A", PUMP, "OL") + reading("A", PUMP, "15", seq=2),
    )
    assert (pump_row(folder).tp, pump_row(folder).fn) == (1, 0)


def test_doubtful_readings_are_counted_apart(tmp_path: Path):
    folder = washers(tmp_path, jobs=job("A"), readings=reading("A", PUMP, "200"))
    row = pump_row(folder)
    assert (row.tp + row.fn + row.fp + row.tn, row.doubtful) == (0, 1)
    assert row[["sensitivity", "specificity", "lr_pos"]].isna().all()


def test_a_test_never_made_has_no_row(tmp_path: Path):
    folder = washers(tmp_path, jobs=job("A"), readings=reading("A", PUMP, "OL"))
    assert LOCK not in set(measure(folder, "power_of_tests")["test_point"])


def test_an_empty_shop_gives_the_columns_only(tmp_path: Path):
    folder = washers(tmp_path, jobs=job("A"))
    table = measure(folder, "power_of_tests")
    assert table.empty
    assert list(table.columns[: len(FIRST)]) == FIRST
