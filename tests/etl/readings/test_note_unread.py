"""Notes with several readings: what is refused, what stays unread."""

import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import sql
from etl.readings import parse_note
from etl.readings.vocabulary import vocabulary

KINDS = [row["kind"] for row in sql.lookup("kinds")]


def _read(text: str, kind: str = "dryer_electric", **setting: str) -> list[tuple]:
    """(test point, number or state or problem) of each reading."""
    return [
        (
            reading.test_point,
            reading.value.problem
            or ("open" if reading.value.is_open else "closed" if reading.value.is_closed else None)
            or reading.value.value,
        )
        for reading in parse_note(text, kind=kind, **setting).readings
    ]


@pytest.mark.parametrize(
    "note",
    [
        "replaced element 279838",
        "replaced heating element 2 screws missing",
        "replaced belt 2 hrs",
        "Cust called 555-123-4567, arrived 9:15",
        "ordered 2x element",
        "paid $145",
        "unplugged 3 times",
        "element not open",
        "no short to ground",
        "TF should be .2 ohm",
        "suspect TF open",
        "new elem 9.2 ohm",
        "door open when I came, closed it",
    ],
)
def test_prose_and_numbers_of_other_things_are_no_readings(note: str) -> None:
    assert _read(note) == []


def test_a_reading_after_two_parts_is_taken_for_the_nearer_and_counted_as_not_all_read() -> None:
    note = parse_note("TF and hi-limit OL", kind="dryer_electric")
    assert [reading.test_point for reading in note.readings] == ["dryer_hi_limit"]
    assert note.unread == ("TF and hi limit OL",)


def test_what_is_not_understood_stays_unread_and_is_returned() -> None:
    note = parse_note(
        "elem 9.2, foo 17 bar, belt worn 1/2 through, all done", kind="dryer_electric"
    )
    assert len(note.readings) == 1
    assert note.unread == ("foo 17 bar", "belt worn 1/2 through")


@pytest.mark.parametrize(
    ("note", "problem"),
    [
        ("elem 279838", "reading_unit_missing"),
        ("elem 118", "reading_unit_missing"),
        ("elem 9.2 9.3", "reading_several_numbers"),
        ("elem 9.2 / 9.3", "reading_several_numbers"),
        ("elem 9.2?", "reading_doubtful"),
        ("OL 0.4", "reading_ambiguous"),
        ("OL was bad", "reading_ambiguous"),
        ("elem 550m", "reading_milli_or_mega"),
        ("elem -5 ohm", "reading_negative"),
        ("exhaust temp 150", "reading_unit_missing"),
    ],
)
def test_a_reading_that_could_be_two_things_is_refused(note: str, problem: str) -> None:
    assert [found for _, found in _read(note)] == [problem]


def test_an_empty_note_has_nothing() -> None:
    note = parse_note("  \n ", kind="dryer_electric")
    assert (note.readings, note.unread) == ((), ())


PIECES = st.sampled_from(
    [
        "elem",
        "OL",
        "9.2",
        "ohm",
        "TF",
        "to ground",
        "(",
        ")",
        "@",
        "72F",
        "/",
        "-",
        ",",
        ". ",
        "8-10",
        "hot",
        "shut",
        "L1",
        "243v",
        "good",
        "bad",
        "1k2",
        ">20M",
        "45/5",
        "reads",
        "\n",
        "?",
        "°",
        "ret",
    ]
)


@settings(max_examples=150, deadline=None)
@given(
    st.text() | st.lists(PIECES, max_size=14).map(" ".join),
    st.sampled_from([*KINDS, ""]),
    st.booleans(),
)
def test_no_note_raises_and_every_reading_is_whole(text: str, kind: str, fold_case: bool) -> None:
    codes = {row["code"] for row in sql.lookup("problem_codes_readings")}
    points = vocabulary(kind).points
    for reading in parse_note(text, kind=kind, fold_case=fold_case).readings:
        assert reading.test_point is None or reading.test_point in points
        assert (reading.value.problem in codes) == (reading.value.outcome == "refused")
        assert reading.value.problem is None or reading.test_point is None


@pytest.mark.parametrize(
    "piece", ["9", "9,", "9/", "<", "( ", "elem ", "elem 9 ", "TF OL ", "1k", "- ", "1\n", "@ 7F "]
)
def test_a_very_long_note_takes_time_in_proportion(piece: str) -> None:
    """Under 3 s of the processor for 100,000 characters; a quadratic pattern takes minutes."""
    started = time.process_time()
    parse_note(piece * (100_000 // len(piece)), kind="dryer_electric")
    assert time.process_time() - started < 3


@pytest.mark.parametrize(
    ("note", "point"), [("120v at outlet", None), ("240v at outlet", "supply_l1_l2_v")]
)
def test_volts_at_an_outlet_of_two_legs_are_of_both_only_where_one_cannot_carry_them(note, point):
    """120 V: one leg to neutral or what is left of both, so no limit judges it."""
    (reading,) = parse_note(note, kind="dryer_electric").readings
    assert reading.test_point == point
    assert point is None or "pair_inferred" in reading.value.flags
