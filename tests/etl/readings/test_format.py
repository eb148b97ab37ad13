"""What is written of a reading is read as the same reading."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from etl.readings import Value, format_value, parse_value
from etl.readings.lookups import quantities, units, words

SPELLINGS = sorted(units())


def _reading(value: Value) -> Value:
    """The reading alone: not how it was found."""
    kept = tuple(flag for flag in value.flags if flag == "approximate" or value.value is None)
    return replace(value, outcome="", flags=kept)


@given(
    st.floats(-700, 1e9) | st.floats(0, 10) | st.floats(0, 1e-12) | st.integers(0, 700),
    st.sampled_from(SPELLINGS),
    st.sampled_from([q for q in quantities() if q != "observation"]),
    st.sampled_from(["", "<", ">", "~"]),
)
def test_every_number_of_every_quantity_comes_back(number, unit, quantity, sign) -> None:
    value = parse_value(f"{sign}{number!r} {unit}", quantity=quantity)
    if value.problem is None:
        again = parse_value(format_value(value), quantity=quantity)
        assert _reading(again) == _reading(value)


@given(st.floats(0.1, 500), st.sampled_from(SPELLINGS))
def test_a_reading_comes_back_without_its_test_point(number, unit) -> None:
    value = parse_value(f"{number!r} {unit}")
    if value.problem is None:
        assert _reading(parse_value(format_value(value))) == _reading(value)


@pytest.mark.parametrize("word", sorted(words()))
def test_every_word_comes_back(word: str) -> None:
    value = parse_value(word)
    if value.problem is None:
        assert parse_value(format_value(value)) == value


@pytest.mark.parametrize("word", ["inside", "blocked", "belt squeals"])
def test_an_observation_comes_back(word: str) -> None:
    value = parse_value(word, quantity="observation")
    assert parse_value(format_value(value), quantity="observation") == value


def test_a_refused_value_has_no_text() -> None:
    with pytest.raises(ValueError, match="reading_missing"):
        format_value(parse_value(""))
