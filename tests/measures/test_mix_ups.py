"""First diagnosis against final cause, by washers drawn and counted by hand."""

from pathlib import Path

import pytest

from dashboard.stats.kappa import cohens_kappa
from tests.ask import measure
from tests.diagnosis.drawn_jobs import LOCK, PUMP, job, reading, washers

PUMP_OPEN, LOCK_FAILED = "drain_pump_open", "lid_lock_failed"


@pytest.fixture
def drawn(tmp_path: Path) -> Path:
    """Five recorded as pump (two came back as lock, on both the lock was not tested), four as lock."""
    jobs = "".join(job(f"P{i}", PUMP_OPEN, customer=f"p{i}") for i in range(5))
    jobs += "".join(job(f"L{i}", LOCK_FAILED, customer=f"l{i}") for i in range(2))
    jobs += "".join(
        job(f"R{i}", LOCK_FAILED, "2026-01-10", "2026-01-11", f"p{i}") for i in range(2)
    )
    jobs += job("late", PUMP_OPEN, "2026-06-01", "2026-06-02")
    return washers(
        tmp_path, jobs=jobs, readings=reading("P0", PUMP, "15") + reading("P3", LOCK, "1")
    )


def cells(folder: Path) -> dict[tuple[str, str], int]:
    table = measure(folder, "mix_ups", window_days=30)
    return {(row.first_cause, row.final_cause): row.jobs for row in table.itertuples()}


def test_proved_wrong_and_held_jobs_fill_the_matrix(drawn: Path):
    assert cells(drawn) == {
        (PUMP_OPEN, PUMP_OPEN): 3,
        (PUMP_OPEN, LOCK_FAILED): 2,
        (LOCK_FAILED, LOCK_FAILED): 4,  # two of their own and the two callbacks
    }  # "late" is younger than the window: nothing is known of it


def test_the_share_is_of_the_jobs_first_recorded_so(drawn: Path):
    table = measure(drawn, "mix_ups", window_days=30)
    row = table[(table["first_cause"] == PUMP_OPEN) & (table["final_cause"] == LOCK_FAILED)].iloc[0]
    assert (row.jobs, row.of_jobs) == (2, 5)
    assert row.share == pytest.approx(2 / 5)


def test_kappa_of_the_drawn_shop(drawn: Path):
    """Observed (3 + 4) / 9; expected 5/9 * 3/9 + 4/9 * 6/9 (Cohen's definition, arithmetic)."""
    counts = cells(drawn)
    causes = [PUMP_OPEN, LOCK_FAILED]
    matrix = [[counts.get((first, final), 0) for final in causes] for first in causes]
    expected = 5 / 9 * 3 / 9 + 4 / 9 * 6 / 9
    assert cohens_kappa(matrix).kappa == pytest.approx((7 / 9 - expected) / (1 - expected))


def test_the_test_that_tells_them_apart_comes_from_the_register(drawn: Path):
    """Pump winding: 0.97 against 0.03, lid lock 0.03 against 0.90: the winding differs most."""
    table = measure(drawn, "mix_ups", window_days=30)
    row = table[(table["first_cause"] == PUMP_OPEN) & (table["final_cause"] == LOCK_FAILED)].iloc[0]
    assert row.telling_test == PUMP
    assert (row.outside_if_first, row.outside_if_final) == (0.97, 0.03)
    assert row.test_made == 1  # on P0 of P0 and P1


def test_a_callback_that_was_not_repaired_leaves_the_first_diagnosis_unsettled(tmp_path: Path):
    folder = washers(
        tmp_path,
        jobs=job("A", PUMP_OPEN, customer="one")
        + job("B", LOCK_FAILED, "2026-01-10", "2026-01-11", "one", "declined")
        + job("C", PUMP_OPEN, "2026-06-01", "2026-06-02"),
    )
    assert cells(folder) == {}


def test_the_same_component_again_holds(tmp_path: Path):
    """Another failure of the same pump is no other diagnosis of the part."""
    folder = washers(
        tmp_path,
        jobs=job("A", PUMP_OPEN, customer="one")
        + job("B", "drain_pump_worn", "2026-01-10", "2026-01-11", "one")
        + job("C", PUMP_OPEN, "2026-06-01", "2026-06-02"),
    )
    assert cells(folder)[PUMP_OPEN, PUMP_OPEN] == 1
