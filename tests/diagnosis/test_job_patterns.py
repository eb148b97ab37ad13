"""The five patterns of a wrong diagnosis, each at its edge, by washers drawn and judged by hand."""

from pathlib import Path

import pytest

from tests.ask import measure, run
from tests.diagnosis.drawn_jobs import LOCK, PUMP, flags, job, part, reading, table, washers

VISITS = """
A | 1 | Ann | 2026-01-02 09:00 | 30 | 10 | completed
B | 1 | Bob | 2026-01-12 09:00 | 40 | 20 | completed
"""


def pair(folder: Path, returned: str, later_cause: str, disposition: str = "repaired") -> Path:
    """Load A, recorded as the pump, B that comes back, and C that moves the end of records on."""
    return washers(
        folder,
        jobs=job("A", "drain_pump_open", customer="one")
        + job("B", later_cause, returned, returned, "one", disposition)
        + job("C", opened="2026-06-01", closed="2026-06-01"),
        visits=VISITS,
        readings=reading("A", PUMP, "15"),
        part_lines=part("A", "drain_pump", cost="25") + part("B", "lid_lock", cost="40"),
    )


def proved_wrong(folder: Path, window_days: int = 30) -> dict[str, bool]:
    rows = run(folder, "pages/diagnosis_jobs", pattern="proved_wrong", window_days=window_days)
    return set(rows["job_id"])


def test_condemned_while_good_and_no_evidence(tmp_path: Path):
    folder = washers(
        tmp_path,
        jobs="".join(job(name) for name in ("good", "silent", "sound", "no_part", "no_test")),
        readings=reading("good", PUMP, "15") + reading("sound", PUMP, "OL"),
        part_lines=part("good", "drain_pump")
        + part("silent", "drain_pump")
        + part("sound", "drain_pump")
        + part("no_test", "control_board"),
    )
    assert flags(folder, "is_condemned_while_good") == {
        "good": True,
        "silent": False,
        "sound": False,
        "no_part": None,  # no part replaced: cannot be asked
        "no_test": None,  # nobody could have tested it
    }
    assert flags(folder, "is_no_evidence") == {
        "good": False,
        "silent": True,
        "sound": False,
        "no_part": None,
        "no_test": None,
    }


def test_a_source_without_any_reading_cannot_be_blamed_for_silence(tmp_path: Path):
    folder = washers(tmp_path, jobs=job("A"), part_lines=part("A", "drain_pump"))
    assert flags(folder, "is_no_evidence") == {"A": None}
    assert flags(folder, "is_passed_over") == {"A": None}


def test_a_fault_reading_passed_over(tmp_path: Path):
    """The lock reads open; only where neither lock nor an explaining cause is named is it passed."""
    names = ("passed", "replaced", "recorded", "repeated", "inside")
    causes = {"recorded": "lid_lock_failed"}
    folder = washers(
        tmp_path,
        jobs="".join(job(name, causes.get(name, "drain_pump_open")) for name in names),
        readings="".join(reading(name, LOCK, "OL") for name in names[:4])
        + reading("repeated", LOCK, "0.3", seq=2)
        + reading("inside", LOCK, "0.3"),
        part_lines=part("replaced", "lid_lock"),
    )
    assert flags(folder, "is_passed_over") == {
        "passed": True,
        "replaced": False,
        "recorded": False,
        "repeated": False,  # measured again and inside: one reading is a reason to repeat it
        "inside": False,
    }


def test_a_reading_that_the_recorded_cause_explains_is_not_passed_over(tmp_path: Path):
    """An open lid lock leaves low volts at the pump (register: 0.7): the pump reading is explained."""
    folder = washers(
        tmp_path,
        jobs=job("explained", "lid_lock_failed") + job("not", "drain_hose_blocked"),
        readings="explained | 1 | 1 | washer_drain_pump_v | 100 V |\n"
        "not | 1 | 1 | washer_drain_pump_v | 100 V |",
    )
    assert flags(folder, "is_passed_over") == {"explained": False, "not": True}


def test_parts_at_a_guess_takes_two_components_and_fewer_than_two_supported(tmp_path: Path):
    names = ("one", "two", "two_and_two", "untestable")
    folder = washers(
        tmp_path,
        jobs="".join(job(name) for name in names),
        readings="".join(reading(name, PUMP, "OL") for name in names)
        + reading("two_and_two", LOCK, "OL", seq=2),
        part_lines="".join(part(name, "drain_pump") for name in names)
        + part("two", "lid_lock")
        + part("two_and_two", "lid_lock")
        + part("untestable", "control_board"),
    )
    assert flags(folder, "is_at_a_guess") == {
        "one": False,
        "two": True,  # pump supported, lock untested
        "two_and_two": False,
        "untestable": False,  # the board has no test: only the pump counts
    }


@pytest.mark.parametrize(
    ("returned", "later_cause", "disposition", "wanted"),
    [
        ("2026-02-01", "lid_lock_failed", "repaired", {"A"}),  # day 30 of 30
        ("2026-02-02", "lid_lock_failed", "repaired", set()),  # day 31
        ("2026-01-12", "drain_pump_worn", "repaired", set()),  # the same component again
        ("2026-01-12", "lid_lock_failed", "declined", set()),  # not repaired: nothing is proved
        ("2026-01-12", "cause_unknown", "repaired", set()),  # no finding
    ],
)
def test_proved_wrong_needs_a_repaired_callback_with_another_component_in_the_window(
    tmp_path: Path, returned: str, later_cause: str, disposition: str, wanted: set[str]
):
    assert proved_wrong(pair(tmp_path, returned, later_cause, disposition)) == wanted


def test_a_job_younger_than_the_window_is_not_asked_even_when_it_is_known_to_be_wrong(tmp_path):
    folder = washers(
        tmp_path,
        jobs=job("A", customer="one")
        + job("B", "lid_lock_failed", "2026-01-05", "2026-01-06", "one"),
    )
    row = measure(folder, "misdiagnosis", pattern="proved_wrong", window_days=30).iloc[0]
    assert (row.jobs, row.asked, row.with_pattern) == (2, 0, 0)
    assert row[["rate", "low", "high", "cost"]].isna().all()


def test_the_cost_is_the_callbacks_minutes_and_the_parts_of_both_jobs_that_were_not_needed(
    tmp_path: Path,
):
    """A: pump 25, good by its reading, not needed. B: lock 40 was the cause. B took 40 + 20 min."""
    folder = pair(tmp_path, "2026-01-12", "lid_lock_failed")
    row = measure(
        folder, "misdiagnosis", pattern="proved_wrong", window_days=30, labour_per_hour=90
    ).iloc[0]
    assert (row.lost_min, row.unneeded_parts_cost) == (60, 25)
    assert row.cost == pytest.approx(60 / 60 * 90 + 25)


def test_a_part_that_a_reading_supported_is_not_called_unneeded(tmp_path: Path):
    """A blown fuse is replaced for good reason although the vent was the cause behind it."""
    folder = washers(
        tmp_path,
        jobs=job("A", "lid_lock_failed"),
        readings=reading("A", PUMP, "OL"),
        part_lines=part("A", "drain_pump", cost="25"),
    )
    assert table(folder, "core.job_patterns")["unneeded_parts_cost"].tolist() == [0]
