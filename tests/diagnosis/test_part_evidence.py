"""What the readings say of each replaced part, by washers drawn and judged by hand."""

from pathlib import Path

import pytest

from tests.diagnosis.drawn_jobs import LOCK, PUMP, evidence, job, part, reading, table, washers


def test_each_class_by_the_readings_of_the_part(tmp_path: Path):
    folder = washers(
        tmp_path,
        jobs="".join(job(name) for name in ("open", "good", "between", "mixed", "none", "other")),
        readings=reading("open", PUMP, "OL")
        + reading("good", PUMP, "15")
        + reading("between", PUMP, "60")
        + reading("mixed", PUMP, "15")
        + reading("mixed", PUMP, "60", seq=2)
        + reading("other", LOCK, "OL"),
        part_lines="".join(
            part(name, "drain_pump")
            for name in ("open", "good", "between", "mixed", "none", "other")
        ),
    )
    assert evidence(folder) == {
        ("open", "drain_pump"): "supported",  # OL condemns a winding
        ("good", "drain_pump"): "contradicted",  # 15 lies in 5 to 40
        ("between", "drain_pump"): "unclear",  # 60 is doubtful: over 40, not over 200
        ("mixed", "drain_pump"): "unclear",  # inside and doubtful
        ("none", "drain_pump"): "untested",
        ("other", "drain_pump"): "untested",  # the lock was measured, not the pump
    }


def test_one_reading_outside_supports_whatever_the_others_say(tmp_path: Path):
    folder = washers(
        tmp_path,
        jobs=job("A"),
        readings=reading("A", PUMP, "15") + reading("A", PUMP, "OL", seq=2),
        part_lines=part("A", "drain_pump"),
    )
    assert evidence(folder) == {("A", "drain_pump"): "supported"}


def test_an_opinion_is_no_reading_inside_and_no_silence(tmp_path: Path):
    """ "bad" written down has no verdict: neither condemned while good nor untested."""
    folder = washers(
        tmp_path,
        jobs=job("A"),
        readings=reading("A", PUMP, "bad"),
        part_lines=part("A", "drain_pump"),
    )
    found = evidence(folder)[("A", "drain_pump")]
    kept = len(table(folder, "core.reading_facts"))
    assert found == ("unclear" if kept else "untested")


@pytest.mark.parametrize(
    ("read_on", "fitted_on", "wanted"),
    [
        (1, 2, "contradicted"),  # read before the part went in
        (2, 2, "contradicted"),  # same visit: the records do not tell which came first
        (2, 1, "untested"),  # read after the part went in
        ("", 1, "contradicted"),  # visit of the reading unknown
        (2, "", "contradicted"),  # visit of the part unknown
    ],
)
def test_only_readings_up_to_the_visit_that_fitted_the_part(
    tmp_path: Path, read_on: int | str, fitted_on: int | str, wanted: str
):
    folder = washers(
        tmp_path,
        jobs=job("A"),
        visits="A | 1 | Ann | 2026-01-01 09:00 | 30 | 10 | part_on_order\n"
        "A | 2 | Ann | 2026-01-02 09:00 | 30 | 10 | completed",
        readings=reading("A", PUMP, "15", visit=read_on),
        part_lines=part("A", "drain_pump", visit=fitted_on),
    )
    assert evidence(folder) == {("A", "drain_pump"): wanted}


def test_a_part_fitted_twice_is_one_row_with_the_first_visit_and_both_costs(tmp_path: Path):
    folder = washers(
        tmp_path,
        jobs=job("A"),
        visits="A | 1 | Ann | 2026-01-01 09:00 | 30 | 10 | defective_part\n"
        "A | 2 | Ann | 2026-01-02 09:00 | 30 | 10 | completed",
        readings=reading("A", PUMP, "OL", visit=2),
        part_lines=part("A", "drain_pump", visit=2) + part("A", "drain_pump", visit=1),
    )
    (row,) = table(folder, "core.part_evidence").itertuples()
    assert (row.visit_no, row.pieces, row.parts_cost) == (1, 2, 20)
    assert row.evidence == "untested"  # the reading came after the first one went in


def test_jobs_not_repaired_lines_of_zero_pieces_and_unknown_parts_are_left_out(tmp_path: Path):
    folder = washers(
        tmp_path,
        jobs=job("A", disposition="declined") + job("B") + job("C"),
        part_lines=part("A", "drain_pump")
        + part("B", "drain_pump", quantity=0)
        + part("C", "something nobody knows"),
    )
    assert evidence(folder) == {}


def test_a_test_made_elsewhere_speaks_for_the_board(tmp_path: Path):
    """0 V at a dishwasher's pump speaks for its board: two causes at most explain it (register)."""
    folder = shop_with_dishwasher(tmp_path, "0 V")
    assert evidence(folder) == {("A", "control_board"): "unclear"}  # near zero is doubtful there


def shop_with_dishwasher(folder: Path, value: str) -> Path:
    """Load one dishwasher whose board was replaced after a reading at the pump."""
    return washers(
        folder,
        jobs="A | 2026-01-01 | 2026-01-02 | dishwasher | wont_drain | control_no_output | repaired "
        "| one | Ann",
        readings=f"A | 1 | 1 | dw_drain_pump_v | {value} | ",
        part_lines=part("A", "control_board"),
    )


def test_volts_present_at_the_pump_contradict_the_board(tmp_path: Path):
    folder = shop_with_dishwasher(tmp_path, "120 V")
    assert evidence(folder) == {("A", "control_board"): "contradicted"}


def test_volts_at_the_pump_say_nothing_of_the_pump(tmp_path: Path):
    """The register gives 0.03 for every failure of the pump: the test sees its supply only."""
    folder = washers(
        tmp_path,
        jobs=job("A"),
        readings="A | 1 | 1 | washer_drain_pump_v | 120 V |",
        part_lines=part("A", "drain_pump"),
    )
    assert evidence(folder) == {("A", "drain_pump"): "untested"}


def test_a_part_without_a_test_in_the_register_says_so(tmp_path: Path):
    folder = washers(
        tmp_path,
        jobs=job("A"),
        part_lines=part("A", "control_board") + part("A", "drain_pump"),
    )
    rows = table(folder, "core.part_evidence").set_index("component")
    assert not rows.loc["control_board", "has_test"]
    assert rows.loc["drain_pump", "has_test"]
