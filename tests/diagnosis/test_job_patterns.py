"""Outcomes and habits, each at its edge, by washers drawn and judged by hand."""

from pathlib import Path

import pytest

from tests.ask import measure, run
from tests.diagnosis.drawn_jobs import LOCK, PUMP, flags, job, part, reading, table, washers

VISITS = """
A | 1 | Ann | 2026-01-02 09:00 | 30 | 10 | completed
B | 1 | Bob | 2026-01-12 09:00 | 40 | 20 | completed
"""
LATER = job("C", opened="2026-06-01", closed="2026-06-01")  # moves the end of the records on


def pair(folder: Path, returned: str, later_cause: str, disposition: str = "repaired") -> Path:
    """Load A, diagnosed as the pump, B that comes back, and C that moves the end of records on."""
    return washers(
        folder,
        jobs=job("A", "drain_pump_open", customer="one")
        + job("B", later_cause, returned, returned, "one", disposition)
        + LATER,
        visits=VISITS,
        readings=reading("A", PUMP, "15"),
        part_lines=part("A", "drain_pump", cost="25") + part("B", "lid_lock", cost="40"),
    )


def two_visits(folder: Path, cause: str, first: str, second: str, outcome: str) -> Path:
    """Load job A: `first` fitted on visit 1, `second` on visit 2 ('' = no part)."""
    return washers(
        folder,
        jobs=job("A", cause) + LATER,
        visits=f"A | 1 | Ann | 2026-01-01 09:00 | 30 | 10 | {outcome}\n"
        "A | 2 | Ann | 2026-01-02 09:00 | 45 | 15 | completed",
        part_lines="".join(
            part("A", name, visit=visit, cost="25")
            for visit, name in ((1, first), (2, second))
            if name
        ),
    )


def shown(folder: Path, pattern: str, window_days: int = 30) -> set[str]:
    """Return the jobs that show a pattern."""
    return set(run(folder, "pages/diagnosis_jobs", pattern=pattern, window_days=window_days).job_id)


@pytest.mark.parametrize(
    ("cause", "first", "second", "outcome", "wanted"),
    [
        ("lid_lock_failed", "drain_pump", "lid_lock", "misdiagnosis", True),
        ("lid_lock_failed", "drain_pump", "lid_lock", "part_not_on_van", True),
        ("lid_lock_failed", "drain_pump", "", "misdiagnosis", True),  # repaired without a part
        ("lid_lock_failed", "", "lid_lock", "misdiagnosis", True),  # no part fitted, but said so
        ("lid_lock_failed", "", "lid_lock", "part_on_order", False),  # an ordered part is no error
        ("drain_pump_open", "drain_pump", "lid_lock", "misdiagnosis", False),  # the cause names it
        ("drain_pump_open", "drain_pump", "drain_pump", "defective_part", False),  # same component
        ("drain_pump_worn", "hose", "drain_pump", "part_on_order", False),  # companions
        ("cause_unknown", "drain_pump", "lid_lock", "misdiagnosis", False),  # nothing established
    ],
)
def test_corrected_on_a_later_visit(
    tmp_path: Path, cause: str, first: str, second: str, outcome: str, wanted: bool
):
    folder = two_visits(tmp_path, cause, first, second, outcome)
    assert flags(folder, "is_corrected")["A"] is wanted
    assert shown(folder, "corrected") == ({"A"} if wanted else set())


def test_a_right_part_fitted_together_with_a_wrong_one_is_not_corrected(tmp_path: Path):
    folder = washers(
        tmp_path,
        jobs=job("A", "lid_lock_failed"),
        visits="A | 1 | Ann | 2026-01-01 09:00 | 30 | 10 | needs_two_people_or_tool\n"
        "A | 2 | Ann | 2026-01-02 09:00 | 45 | 15 | completed",
        part_lines=part("A", "drain_pump") + part("A", "lid_lock"),
    )
    assert flags(folder, "is_corrected") == {"A": False}


def test_a_correction_costs_the_visits_after_the_wrong_one_and_the_part(tmp_path: Path):
    folder = two_visits(tmp_path, "lid_lock_failed", "drain_pump", "lid_lock", "misdiagnosis")
    row = measure(folder, "misdiagnosis", pattern="corrected", labour_per_hour=90).iloc[0]
    assert (row.lost_min, row.unneeded_parts_cost) == (45 + 15, 25)
    assert row.cost == pytest.approx(60 / 60 * 90 + 25)


@pytest.mark.parametrize(
    ("returned", "later_cause", "disposition", "wanted"),
    [
        ("2026-02-01", "lid_lock_failed", "repaired", {"A"}),  # day 30 of 30
        ("2026-02-02", "lid_lock_failed", "repaired", set()),  # day 31
        ("2026-01-12", "drain_pump_worn", "repaired", set()),  # the same component again
        ("2026-01-12", "drain_hose_blocked", "repaired", set()),  # a companion of the pump
        ("2026-01-12", "lid_lock_failed", "declined", set()),  # not repaired: nothing is settled
        ("2026-01-12", "cause_unknown", "repaired", set()),  # no finding
    ],
)
def test_came_back_needs_a_repaired_callback_with_another_component_in_the_window(
    tmp_path: Path, returned: str, later_cause: str, disposition: str, wanted: set[str]
):
    assert shown(pair(tmp_path, returned, later_cause, disposition), "came_back") == wanted


def test_a_job_within_the_window_is_not_judged_even_when_it_is_known_to_be_wrong(tmp_path):
    folder = washers(
        tmp_path,
        jobs=job("A", customer="one")
        + job("B", "lid_lock_failed", "2026-01-05", "2026-01-06", "one"),
    )
    row = measure(folder, "misdiagnosis", pattern="came_back", window_days=30).iloc[0]
    assert (row.jobs, row.asked, row.with_pattern) == (2, 0, 0)
    assert row[["rate", "low", "high", "cost"]].isna().all()


def test_a_callback_costs_its_minutes_and_the_part_that_the_final_cause_does_not_name(
    tmp_path: Path,
):
    folder = pair(tmp_path, "2026-01-12", "lid_lock_failed")
    row = measure(folder, "misdiagnosis", window_days=30, labour_per_hour=90).iloc[0]
    assert (row.wrong, row.corrected, row.came_back) == (1, 0, 1)
    assert (row.lost_min, row.unneeded_parts_cost) == (60, 25)  # B took 40 + 20 minutes
    assert row.cost == pytest.approx(60 / 60 * 90 + 25)


def test_habits_of_parts(tmp_path: Path):
    names = ("tested", "silent", "against", "no_part", "no_test")
    causes = {"against": "control_no_output"}
    folder = washers(
        tmp_path,
        jobs="".join(job(name, causes.get(name, "drain_pump_open")) for name in names),
        readings=reading("tested", PUMP, "OL") + "against | 1 | 1 | washer_drain_pump_v | 120 V |",
        part_lines=part("tested", "drain_pump")
        + part("silent", "drain_pump")
        + part("against", "control_board")
        + part("no_test", "gearcase"),
    )
    unknown = {"no_part": None, "no_test": None}  # no part that a listed test can see fail
    assert flags(folder, "is_not_tested") == unknown | {
        "tested": False,
        "silent": True,
        "against": False,
    }
    assert flags(folder, "is_against") == unknown | {
        "tested": False,
        "silent": False,
        "against": True,
    }


def test_a_source_without_any_reading_cannot_be_blamed_for_silence(tmp_path: Path):
    folder = washers(tmp_path, jobs=job("A"), part_lines=part("A", "drain_pump"))
    assert flags(folder, "is_not_tested") == {"A": None}
    assert flags(folder, "is_missed") == {"A": None}


def test_a_bad_reading_missed(tmp_path: Path):
    """The lock reads open; missed only where the parts first fitted do not explain it."""
    names = ("missed", "replaced", "repeated", "inside", "no_part")
    folder = washers(
        tmp_path,
        jobs="".join(job(name) for name in names),
        readings="".join(reading(name, LOCK, "OL") for name in names if name != "inside")
        + reading("repeated", LOCK, "0.3", seq=2)
        + reading("inside", LOCK, "0.3"),
        part_lines="".join(part(name, "drain_pump") for name in names[:-1])
        + part("replaced", "lid_lock"),
    )
    assert flags(folder, "is_missed") == {
        "missed": True,
        "replaced": False,
        "repeated": False,  # measured again and inside: one reading is a reason to repeat it
        "inside": False,
        "no_part": None,  # nothing was fitted that could have been fitted in spite of it
    }


def test_a_bad_reading_missed_is_judged_as_of_the_first_part(tmp_path: Path):
    """What a later visit reads, fits or records would reveal the outcome; the habit may not use it."""
    names = ("missed", "read_later", "unknown_visit")
    folder = washers(
        tmp_path,
        jobs="".join(job(name, "lid_lock_failed") for name in names),
        visits="".join(
            f"{name} | 1 | Ann | 2026-01-01 09:00 | 30 | 10 | misdiagnosis\n"
            f"{name} | 2 | Ann | 2026-01-02 09:00 | 45 | 15 | completed\n"
            for name in names
        ),
        readings=reading("missed", LOCK, "OL")
        + "read_later | 1 | 1 | washer_lid_lock_switch | 0.3 |\n"
        + "read_later | 2 | 1 | washer_lid_lock_switch | OL |\n"
        + "unknown_visit |  | 1 | washer_lid_lock_switch | OL |\n",
        part_lines="".join(
            part(name, "drain_pump") + part(name, "lid_lock", visit=2) for name in names
        ),
    )
    assert flags(folder, "is_missed") == {
        "missed": True,
        "read_later": False,
        "unknown_visit": True,
    }


def test_a_reading_that_the_fitted_part_explains_is_not_missed(tmp_path: Path):
    """An open lid lock leaves low volts at the pump (register: 0.7): the reading is explained."""
    folder = washers(
        tmp_path,
        jobs=job("explained", "lid_lock_failed") + job("not", "drain_hose_blocked"),
        readings="explained | 1 | 1 | washer_drain_pump_v | 100 V |\n"
        "not | 1 | 1 | washer_drain_pump_v | 100 V |",
        part_lines=part("explained", "lid_lock") + part("not", "hose"),
    )
    assert flags(folder, "is_missed") == {"explained": False, "not": True}


def test_several_parts_takes_two_components_on_one_visit_and_fewer_than_two_supported(
    tmp_path: Path,
):
    names = ("one", "two", "companion", "two_visits", "untestable")
    folder = washers(
        tmp_path,
        jobs="".join(job(name) for name in names),
        visits="two_visits | 1 | Ann | 2026-01-01 09:00 | 30 | 10 | misdiagnosis\n"
        "two_visits | 2 | Ann | 2026-01-02 09:00 | 30 | 10 | completed",
        readings="".join(reading(name, PUMP, "OL") for name in names),
        part_lines="".join(part(name, "drain_pump") for name in names)
        + part("two", "lid_lock")
        + part("companion", "hose")
        + part("two_visits", "lid_lock", visit=2)
        + part("untestable", "gearcase"),
    )
    assert flags(folder, "is_several") == {
        "one": False,
        "two": True,  # pump supported, lock not tested
        "companion": False,
        "two_visits": False,
        "untestable": False,  # no listed test sees the gearcase fail: only the pump counts
    }


def test_a_part_is_unneeded_when_the_final_cause_names_another(tmp_path: Path):
    folder = washers(
        tmp_path,
        jobs=job("A", "lid_lock_failed") + job("B", "drain_hose_blocked"),
        part_lines=part("A", "drain_pump", cost="25") + part("B", "drain_pump", cost="25"),
    )
    rows = table(folder, "core.job_patterns").set_index("job_id")
    assert rows["unneeded_parts_cost"].to_dict() == {"A": 25, "B": 0}  # B: companions
