"""An ambiguous reading is refused with its reason, whatever the text, in a moment."""

import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

import sql
from etl.readings import parse_value
from etl.readings.lookups import quantities, units


@pytest.mark.parametrize(
    ("text", "quantity", "problem"),
    [
        ("", "resistance", "reading_missing"),
        ("n/a", "resistance", "reading_missing"),
        ("same as above", "resistance", "reading_missing"),
        ("nan", "resistance", "reading_not_understood"),
        ("-inf", "resistance", "reading_not_understood"),
        ("1e999", "resistance", "reading_not_understood"),
        ("9" * 79, "resistance", "reading_not_believable"),
        ("0x1F", "resistance", "reading_not_understood"),
        ("٩٫٢ ohm", "resistance", "reading_not_understood"),
        ("0L", "resistance", "reading_ambiguous"),
        ("0 L", "resistance", "reading_ambiguous"),
        ("1 .", "resistance", "reading_ambiguous"),
        ("NC", "continuity", "reading_ambiguous"),
        ("nothing", "continuity", "reading_ambiguous"),
        ("550m", "resistance", "reading_milli_or_mega"),
        ("5 mΩ", "resistance", "reading_milli_or_mega"),
        ("5 mOhm", "insulation resistance", "reading_milli_or_mega"),
        ("23.O ohm", "resistance", "reading_letter_for_digit"),
        ("1O ohm", "resistance", "reading_letter_for_digit"),
        ("l9.2 ohm", "resistance", "reading_letter_for_digit"),
        ("10-Aug", "resistance", "reading_is_a_date"),
        ("Aug-10", "resistance", "reading_is_a_date"),
        ("2026-08-10", "resistance", "reading_is_a_date"),
        ("2026-08-10 00:00:00", "resistance", "reading_is_a_date"),
        ("10/08/2026", "resistance", "reading_is_a_date"),
        ("10.08.2026", "resistance", "reading_is_a_date"),
        ("45148", "resistance", "reading_is_a_date"),
        ("45148", None, "reading_is_a_date"),
        ("8-10 ohm", "resistance", "reading_several_numbers"),
        ("240/120", "AC voltage", "reading_several_numbers"),
        ("9.2 9.3 9.2", "resistance", "reading_several_numbers"),
        ("45+5 mfd", "capacitance", "reading_nameplate_only"),
        ("9+5 ohm", "resistance", "reading_several_numbers"),
        ("1.1.4 ohm", "resistance", "reading_not_understood"),
        ("-5 ohm", "resistance", "reading_negative"),
        ("shorted", "resistance", "reading_second_point_missing"),
        ("243 V", "resistance", "reading_unit_of_other_quantity"),
        ("12 vdc", "AC voltage", "reading_unit_of_other_quantity"),
        ("9.2 ohm", "temperature", "reading_unit_of_other_quantity"),
        ("OL", "AC voltage", "reading_unit_of_other_quantity"),
        ("38", "temperature", "reading_unit_missing"),
        ("41°", "temperature", "reading_unit_missing"),
        ("9.2", None, "reading_unit_missing"),
        ("1e-99 ohm", "resistance", "reading_not_believable"),
        ("601 V", "AC voltage", "reading_not_believable"),
        ("1.1G ohm", "resistance", "reading_not_understood"),
        ("1001 M", "resistance", "reading_not_believable"),
        ("1113 F", "temperature", "reading_not_believable"),
        ("0.09 uF", "capacitance", "reading_not_believable"),
        ("501 uF", "capacitance", "reading_not_believable"),
        ("-61 C", "temperature", "reading_not_believable"),
    ],
)
def test_an_ambiguous_reading_is_refused_with_its_reason(
    text: str, quantity: str | None, problem: str
) -> None:
    reading = parse_value(text, quantity=quantity)
    assert (reading.outcome, reading.problem, reading.value) == ("refused", problem, None)


@given(
    st.text() | st.from_regex(r"[<>~+-]?[0-9.,OlkKMmRu]{0,12} ?[a-zA-ZΩ°\"%]{0,6}"),
    st.none() | st.text(max_size=9) | st.sampled_from(list(units())),
    st.none() | st.sampled_from(list(quantities())),
    st.sampled_from(".,"),
    st.booleans(),
)
def test_no_text_raises_and_every_answer_is_whole(text, unit, quantity, decimal, fold_case) -> None:
    """A refused value has a reason and no reading; any other has a reading and no reason."""
    reading = parse_value(text, unit=unit, quantity=quantity, decimal=decimal, fold_case=fold_case)
    codes = {row["code"] for row in sql.lookup("problem_codes_readings")}
    if reading.outcome == "refused":
        assert reading.problem in codes
        assert (reading.value, reading.is_open, reading.is_closed) == (None, False, False)
    else:
        assert reading.problem is None
        assert (reading.value is not None) == reading.outcome.startswith("parsed")
        assert reading.value is None or abs(reading.value) < 1e16


@pytest.mark.parametrize("piece", ["9", "9,", ".", "1k", "O", "( ", " ", "-", "Ω", "9.9 ", "ﷺ"])
def test_a_very_long_cell_is_refused_at_once(piece: str) -> None:
    """Under 0.1 s for 100,000 characters: time must not grow faster than length."""
    text = piece * (100_000 // len(piece))
    started = time.perf_counter()
    assert parse_value(text).outcome == "refused"
    assert time.perf_counter() - started < 0.1
