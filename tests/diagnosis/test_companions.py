"""A start device with its compressor: one repair, but a compressor for a bad relay is a wrong one.

The rule (common practice, no source): wherever the compressor is at fault, start device, overload
and capacitor are taken with it, on whichever visit they go in. The reverse is no companion.
"""

from pathlib import Path

import pytest

from tests.ask import run
from tests.diagnosis.drawn_jobs import flags, job, part, reading, table, washers

VISITS = """
A | 1 | Ann | 2026-01-02 09:00 | 30 | 10 | completed
B | 1 | Bob | 2026-01-12 09:00 | 40 | 20 | completed
"""
LATER = job("C", opened="2026-06-01", closed="2026-06-01")  # moves the end of the records on
COMPRESSOR, RELAY = "compressor_seized", "start_device_failed"


def fridge(*given: str, **more: str) -> str:
    """Write the row of a refrigerator that does not cool."""
    return job(*given, **more).replace("washer | wont_drain", "refrigerator | not_cooling")


def two_visits(folder: Path, cause: str, first: str, second: str) -> Path:
    """Load a job with one part on each of two visits."""
    return washers(
        folder,
        jobs=fridge("A", cause) + LATER,
        visits="A | 1 | Ann | 2026-01-01 09:00 | 30 | 10 | part_on_order\n"
        "A | 2 | Ann | 2026-01-02 09:00 | 45 | 15 | completed",
        part_lines=part("A", first, visit=1, cost="25") + part("A", second, visit=2, cost="25"),
    )


def returned(folder: Path, cause: str, later: str, *fitted: str) -> set[str]:
    """Load a job and its callback; return the jobs that came back with a different cause."""
    database = washers(
        folder,
        jobs=fridge("A", cause, customer="one")
        + fridge("B", later, "2026-01-12", "2026-01-12", "one")
        + LATER,
        visits=VISITS,
        part_lines="".join(part("A", name) for name in fitted) + part("B", "overload"),
    )
    return set(run(database, "pages/diagnosis_jobs", pattern="came_back", window_days=30).job_id)


def test_both_on_one_visit_are_one_repair(tmp_path: Path):
    folder = washers(
        tmp_path,
        jobs=fridge("A", COMPRESSOR) + fridge("B", RELAY) + fridge("C", COMPRESSOR),
        readings=reading("A", "start_ptc_ohm", "6"),
        part_lines="".join(
            part(name, each, cost=cost)
            for name in "AB"
            for each, cost in (("compressor", "300"), ("start_device", "20"))
        )
        + part("C", "compressor", cost="0")
        + part("C", "condenser_fan", cost="0"),
    )
    assert flags(folder, "is_several") == {"A": False, "B": False, "C": True}
    assert flags(folder, "is_corrected") == {"A": False, "B": False, "C": False}
    unneeded = table(folder, "core.job_patterns").set_index("job_id")["unneeded_parts_cost"]
    assert unneeded.to_dict() == {"A": 0, "B": 300, "C": 0}  # B: a compressor for a bad relay


def test_a_relay_fitted_before_its_bad_compressor_accuses_nobody(tmp_path: Path):
    folder = two_visits(tmp_path, COMPRESSOR, "start_device", "compressor")
    assert flags(folder, "is_corrected")["A"] is False


def test_a_compressor_fitted_before_the_bad_relay_is_a_wrong_diagnosis(tmp_path: Path):
    folder = two_visits(tmp_path, RELAY, "compressor", "start_device")
    assert flags(folder, "is_corrected")["A"] is True


@pytest.mark.parametrize(
    ("cause", "later", "fitted", "wanted"),
    [
        (COMPRESSOR, RELAY, ("compressor",), {"A"}),  # a compressor for a bad relay
        (COMPRESSOR, RELAY, ("compressor", "start_device"), set()),  # the new relay failed
        (RELAY, COMPRESSOR, ("start_device",), set()),  # it often fails with its compressor
        (COMPRESSOR, "condenser_fan_failed", ("compressor", "start_device"), {"A"}),
    ],
)
def test_what_came_back(tmp_path: Path, cause: str, later: str, fitted: tuple, wanted: set):
    assert returned(tmp_path, cause, later, *fitted) == wanted
