"""Limits as text: one writer for card, sheet, job and readings."""

from types import SimpleNamespace

import pytest

from dashboard.text.limits import limits_in_full, limits_words, should_read


def row(**given: object) -> SimpleNamespace:
    base = dict.fromkeys(("good", "low", "high", "to_note", "temp_model", "by_type"))
    return SimpleNamespace(**(base | {"quantity": "resistance", "unit": "Ohm"} | given))


@pytest.mark.parametrize(
    ("low", "high", "unit", "wanted"),
    [
        (5, 40, "Ohm", "5–40 Ω"),
        (500, 1500, "Ohm", "500 Ω to 1.5 kΩ"),
        (None, 2, "Ohm", "at most 2 Ω"),
        (1e6, None, "Ohm", "at least 1 MΩ"),
        (None, None, "Ohm", ""),
        (-20, 3, "Cel", "−4 to 37 °F"),
        (None, 3, "Cel", "at most 37 °F"),
        (8, 12, "K", "14 to 22 °F"),  # a difference: times 1.8, no 32 added
        (None, 10, "%", "at most 10%"),
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
        {"type": name, "basis": "absolute", "low": low, "high": high}
        for name, low, high in (("flat", 3.2, 3.6), ("round", 2.5, 3.0))
    ]
    typed = row(**waits, unit="A", by_type=types)
    assert should_read(typed) == "flat: 3.2–3.6 A; round: 2.5–3 A (note which)"
    rated = row(limit_basis="ratio_to_nameplate", low=0.94, high=1.06)
    assert should_read(rated) == "94–106% of the nameplate rating"


def test_a_rating_that_the_type_decides_is_said_by_type():
    """What both types call sound, 100–106%, would condemn half of the good run capacitors."""
    run = {"type": "run capacitor, times N", "basis": "ratio_to_nameplate"}
    asked = row(
        limit_basis="ratio_to_nameplate",
        low=1,
        high=1.06,
        to_note="run or start capacitor",
        by_type=[run | {"low": 0.94, "high": 1.06}],
    )
    wanted = "run capacitor: 94–106% of the nameplate rating (note which)"
    assert should_read(asked) == wanted


def test_limits_next_to_a_reading_have_all_their_digits():
    assert limits_in_full(1095, 1105, "Ohm") == "1.095–1.105 kΩ"
    assert limits_in_full(None, None, "Ohm") == "none in numbers"


def test_volts_are_ac_or_dc():
    fan = row(limit_basis="absolute", quantity="DC voltage", low=8, high=14, unit="V")
    assert should_read(fan) == "8–14 V DC"
    outlet = row(limit_basis="absolute", quantity="AC voltage", low=108, high=126, unit="V")
    assert should_read(outlet) == "108–126 V AC"


def test_a_sensor_is_read_with_its_temperature():
    """Ohms of an NTC or of platinum mean nothing without it (IEC 60751 for platinum)."""
    for model in ("ntc_beta", "pt_iec60751"):
        sensor = row(limit_basis="absolute", low=1052, high=1122, temp_model=model)
        assert should_read(sensor) == "1.05–1.12 kΩ; note the temperature"
