"""Limits as text: one writer for card, sheet, job and readings."""

from types import SimpleNamespace

import pytest

from dashboard.text.limits import limits_words, should_read


def row(**given: object) -> SimpleNamespace:
    base = dict.fromkeys(("good", "low", "high", "to_note", "by_type"))
    return SimpleNamespace(**(base | {"quantity": "resistance", "unit": "Ohm"} | given))


@pytest.mark.parametrize(
    ("low", "high", "unit", "wanted"),
    [
        (5, 40, "Ohm", "5–40 Ω"),
        (500, 1500, "Ohm", "500 Ω to 1.5 kΩ"),
        (None, 2, "Ohm", "at most 2 Ω"),
        (1e6, None, "Ohm", "at least 1 MΩ"),
        (None, None, "Ohm", ""),
        (-20, 3, "Cel", "−4 to 37 °F (−20 to 3 °C)"),
        (None, 3, "Cel", "at most 37 °F (at most 3 °C)"),
    ],
)
def test_limits_are_written_with_one_unit_where_both_ends_have_it(low, high, unit, wanted):
    assert limits_words(low, high, unit) == wanted


def test_a_look_says_what_is_good_and_a_contact_whether_it_is_closed():
    assert (
        should_read(row(limit_basis="qualitative", good="thin, even frost")) == "thin, even frost"
    )
    closed = row(limit_basis="absolute", quantity="continuity", high=2)
    assert should_read(closed) == "closed, at most 2 Ω"
    opened = row(limit_basis="absolute", quantity="continuity", low=1e6)
    assert should_read(opened) == "open, at least 1 MΩ"


def test_what_must_be_noted_is_said_with_the_limits_of_each_type():
    waits = {"limit_basis": "absolute", "to_note": "flat or round igniter"}
    assert should_read(row(**waits)) == "depends on flat or round igniter: note it"
    types = [
        {"type": "flat", "low": 3.2, "high": 3.6}, {"type": "round", "low": 2.5, "high": 3.0},
    ]  # fmt: skip
    typed = row(**waits, unit="A", by_type=types)
    assert should_read(typed) == "flat: 3.2–3.6 A; round: 2.5–3 A (note which)"
    rated = row(limit_basis="ratio_to_nameplate", low=0.94, high=1.06)
    assert should_read(rated) == "94–106% of the nameplate rating"
