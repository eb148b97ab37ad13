"""What the readings say of each replaced part, by washers drawn and judged by hand."""

from pathlib import Path

import pytest

import sql
from tests.ask import run
from tests.diagnosis.drawn_jobs import (
    HOSE,
    LOCK,
    PUMP,
    evidence,
    job,
    part,
    reading,
    table,
    washers,
)

TWO_VISITS = """
A | 1 | Ann | 2026-01-01 09:00 | 30 | 10 | part_on_order
A | 2 | Ann | 2026-01-02 09:00 | 30 | 10 | completed
"""


def test_each_word_by_the_readings_taken_before_the_part(tmp_path: Path):
    """Lock open: 0.90 if the lock failed, 0.03 else; its 0.3 ohm leaves 0.10 against 0.97."""
    names = ("open", "good", "between", "silent", "other")
    folder = washers(
        tmp_path,
        jobs="".join(job(name, "lid_lock_failed") for name in names),
        readings=reading("open", LOCK, "OL")
        + reading("good", LOCK, "0.3")
        + reading("between", LOCK, "5")
        + reading("other", HOSE, "clear"),
        part_lines="".join(part(name, "lid_lock") for name in names),
    )
    assert evidence(folder) == {
        ("open", "lid_lock"): "supported",
        ("good", "lid_lock"): "unclear",  # 0.10 / 0.97 lies just above 0.1
        ("between", "lid_lock"): "unclear",  # 5 is doubtful: over 2, not over 10; but it was tested
        ("silent", "lid_lock"): "not tested",
        ("other", "lid_lock"): "not tested",  # the hose was looked at, not the lock
    }


def test_the_ratio_is_the_products_of_p_by_q_one_reading_after_the_other(tmp_path: Path):
    folder = washers(
        tmp_path,
        jobs=job("A"),
        readings=reading("A", PUMP, "OL") + reading("A", LOCK, "0.3", seq=2),
        part_lines=part("A", "drain_pump"),
    )
    rows = run(folder, "pages/part_readings", job_id="A")
    assert (rows["p"] / rows["q"]).prod() == pytest.approx(rows["ratio"].iloc[0], rel=0.001)
    assert set(rows["test_point"]) == {PUMP, LOCK}


def test_a_reading_outside_then_inside_on_the_visit_that_fitted_it_is_the_check_of_the_repair(
    tmp_path: Path,
):
    folder = washers(
        tmp_path,
        jobs=job("A"),
        readings=reading("A", PUMP, "OL") + reading("A", PUMP, "15", seq=2),
        part_lines=part("A", "drain_pump"),
    )
    assert evidence(folder) == {("A", "drain_pump"): "supported"}


def test_a_reading_repeated_before_the_visit_that_fitted_the_part_counts_by_its_last(
    tmp_path: Path,
):
    folder = washers(
        tmp_path,
        jobs=job("A"),
        visits=TWO_VISITS,
        readings=reading("A", PUMP, "OL") + reading("A", PUMP, "15", seq=2),
        part_lines=part("A", "drain_pump", visit=2),
    )
    assert evidence(folder) == {("A", "drain_pump"): "unclear"}


@pytest.mark.parametrize(
    ("read_on", "fitted_on", "wanted"),
    [
        (1, 2, "supported"),  # read before the part went in
        (2, 2, "supported"),  # same visit: the records do not say which came first
        (2, 1, "not tested"),  # read after the part went in
        ("", 1, "supported"),  # visit of the reading unknown
        (2, "", "supported"),  # visit of the part unknown
    ],
)
def test_only_readings_up_to_the_visit_that_fitted_the_part(
    tmp_path: Path, read_on: int | str, fitted_on: int | str, wanted: str
):
    folder = washers(
        tmp_path,
        jobs=job("A"),
        visits=TWO_VISITS,
        readings=reading("A", PUMP, "OL", visit=read_on),
        part_lines=part("A", "drain_pump", visit=fitted_on),
    )
    assert evidence(folder) == {("A", "drain_pump"): wanted}


def test_points_that_measure_one_thing_count_once(tmp_path: Path):
    """Three windings of one compressor are one open winding, not three."""
    rows = sql.lookup("test_point_groups")
    known = {row["test_point"] for row in sql.lookup("test_points")}
    assert {row["test_point"] for row in rows} <= known
    folder = washers(
        tmp_path,
        jobs="A | 2026-01-01 | 2026-01-02 | refrigerator | not_cooling | compressor_winding_open "
        "| repaired | one | Ann",
        readings="".join(
            reading("A", f"comp_{pair}_ohm", "OL", seq=n)
            for n, pair in enumerate(("c_r", "c_s", "r_s"), start=1)
        ),
        part_lines=part("A", "compressor"),
    )
    rows = run(folder, "pages/part_readings", job_id="A")
    assert len(rows) == 3
    assert rows["counts_as"].notna().sum() == 2
    own = rows[rows["counts_as"].isna()].iloc[0]
    assert own.p / own.q == pytest.approx(own.ratio, rel=0.001)


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
    assert row.evidence == "not tested"  # the reading came after the first one went in


def test_a_part_is_second_after_another_that_did_not_cure(tmp_path: Path):
    """A lock after a pump is; the pump itself, and a hose that comes off with it, are not."""
    folder = washers(
        tmp_path,
        jobs=job("A", "lid_lock_failed") + job("B"),
        visits=TWO_VISITS + TWO_VISITS.replace("A |", "B |"),
        readings=reading("A", PUMP, "OL"),
        part_lines=part("A", "drain_pump")
        + part("A", "lid_lock", visit=2)
        + part("B", "drain_pump")
        + part("B", "hose", visit=2),
    )
    rows = table(folder, "core.part_evidence").set_index(["job_id", "component"])["is_second"]
    assert rows.to_dict() == {
        ("A", "drain_pump"): False,
        ("A", "lid_lock"): True,
        ("B", "drain_pump"): False,
        ("B", "hose"): False,
    }


def test_jobs_not_repaired_lines_of_zero_pieces_and_unknown_parts_are_left_out(tmp_path: Path):
    folder = washers(
        tmp_path,
        jobs=job("A", disposition="declined") + job("B") + job("C"),
        part_lines=part("A", "drain_pump")
        + part("B", "drain_pump", quantity=0)
        + part("C", "something nobody knows"),
    )
    assert evidence(folder) == {}


def test_volts_present_at_the_pump_speak_against_the_board(tmp_path: Path):
    """0.05 if the board gives no output, about 0.9 if not (register)."""
    folder = washers(
        tmp_path,
        jobs=job("A", "control_no_output"),
        readings="A | 1 | 1 | washer_drain_pump_v | 120 V | ",
        part_lines=part("A", "control_board"),
    )
    assert evidence(folder) == {("A", "control_board"): "against"}


def test_volts_at_the_pump_do_not_test_the_pump(tmp_path: Path):
    """The register gives 0.03 for every failure of the pump: the test sees its supply only."""
    folder = washers(
        tmp_path,
        jobs=job("A"),
        readings="A | 1 | 1 | washer_drain_pump_v | 120 V |",
        part_lines=part("A", "drain_pump"),
    )
    assert evidence(folder) == {("A", "drain_pump"): "not tested"}


def test_a_part_that_no_listed_test_can_see_fail_says_so(tmp_path: Path):
    folder = washers(
        tmp_path,
        jobs=job("A"),
        readings=reading("A", PUMP, "OL"),
        part_lines=part("A", "timer") + part("A", "drain_pump"),
    )
    assert evidence(folder)["A", "timer"] == "no test"


def test_a_source_without_readings_says_nothing_of_any_part(tmp_path: Path):
    folder = washers(tmp_path, jobs=job("A"), part_lines=part("A", "drain_pump"))
    assert table(folder, "core.part_evidence")["evidence"].isna().all()


def test_companions_are_components_of_their_kind():
    known = {(row["kind"], row["component"]) for row in sql.lookup("causes")}
    for row in sql.lookup("companions"):
        assert (row["kind"], row["component"]) in known
        assert (row["kind"], row["companion"]) in known
