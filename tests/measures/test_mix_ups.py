"""First diagnosis against final cause, by washers drawn and counted by hand."""

from pathlib import Path

import pytest

from dashboard.stats.kappa import cohens_kappa
from tests.ask import measure
from tests.diagnosis.drawn_jobs import LOCK, PUMP, job, part, reading, washers

PUMP_OPEN, LOCK_FAILED = "drain_pump_open", "lid_lock_failed"
THE_PUMP, THE_LOCK = "drain_pump", "lid_lock"


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
    return {(row.first_component, row.final_component): row.jobs for row in table.itertuples()}


def test_proved_wrong_and_held_jobs_fill_the_matrix(drawn: Path):
    assert cells(drawn) == {
        (THE_PUMP, THE_PUMP): 3,
        (THE_PUMP, THE_LOCK): 2,
        (THE_LOCK, THE_LOCK): 4,  # two of their own and the two callbacks
    }  # "late" is younger than the window: nothing is known of it


def test_the_share_is_of_the_jobs_first_recorded_so(drawn: Path):
    table = measure(drawn, "mix_ups", window_days=30)
    row = table[
        (table["first_component"] == THE_PUMP) & (table["final_component"] == THE_LOCK)
    ].iloc[0]
    assert (row.jobs, row.of_jobs) == (2, 5)
    assert row.share == pytest.approx(2 / 5)


def test_kappa_of_the_drawn_shop(drawn: Path):
    """Observed (3 + 4) / 9; expected 5/9 * 3/9 + 4/9 * 6/9 (Cohen's definition, arithmetic)."""
    counts = cells(drawn)
    causes = [THE_PUMP, THE_LOCK]
    matrix = [[counts.get((first, final), 0) for final in causes] for first in causes]
    expected = 5 / 9 * 3 / 9 + 4 / 9 * 6 / 9
    assert cohens_kappa(matrix).kappa == pytest.approx((7 / 9 - expected) / (1 - expected))


def test_the_test_that_separates_them_comes_from_the_register(drawn: Path):
    """Lid lock: 0.03 under every pump failure, 0.90 under its own; the pump's tests differ less."""
    table = measure(drawn, "mix_ups", window_days=30)
    row = table[
        (table["first_component"] == THE_PUMP) & (table["final_component"] == THE_LOCK)
    ].iloc[0]
    assert row.telling_test == LOCK
    assert (row.outside_if_first, row.outside_if_final) == (0.03, 0.9)
    assert row.test_made == 0  # it was made on P3 only, which was right


def test_a_correction_inside_a_job_is_a_mix_up(tmp_path: Path):
    folder = washers(
        tmp_path,
        jobs=job("A", LOCK_FAILED) + job("C", PUMP_OPEN, "2026-06-01", "2026-06-02"),
        visits="A | 1 | Ann | 2026-01-01 09:00 | 30 | 10 | misdiagnosis\n"
        "A | 2 | Ann | 2026-01-02 09:00 | 30 | 10 | completed",
        part_lines=part("A", "drain_pump") + part("A", "lid_lock", visit=2),
    )
    assert cells(folder) == {(THE_PUMP, THE_LOCK): 1}


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
    assert cells(folder) == {(THE_PUMP, THE_PUMP): 2}
