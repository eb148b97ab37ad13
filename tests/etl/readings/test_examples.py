"""The 85 written readings of tests/references/reading_examples.csv, one case each.

That file says in words what is expected; here the same as values in the base unit, by hand:
number -> (test point, value, unit), a state as the word, None for an unassigned place.
"""

import csv
from pathlib import Path

import pytest

from etl.readings import Note, NoteReading, parse_note

REFERENCES = Path(__file__).parents[2] / "references" / "reading_examples.csv"
IN_WATER = "[in_i'H2O]"
OPEN, CLOSED = "open", "closed"

FAHRENHEIT_FILE = {61, 71, 72, 74}  # rows whose reason says "by the file setting"

READINGS = {
    3: [(None, 0, "V")],
    7: [(None, CLOSED, None)],
    10: [("supply_l1_n_v", 121, "V"), ("supply_l2_n_v", 122, "V")],
    11: [("supply_l1_n_v", 121, "V"), ("supply_l2_n_v", 122, "V"), ("supply_l1_l2_v", 243, "V")],
    13: [(None, 0.3, "Ohm")],
    15: [(None, OPEN, None)],
    17: [("insulation_megohm", 550e6, "Ohm")],
    22: [("oven_igniter_current_a", 3.4, "A")],
    23: [("oven_igniter_current_a", 2.6, "A")],
    24: [("oven_sensor_ohm", 1080, "Ohm")],
    25: [("oven_sensor_ohm", 1090, "Ohm")],
    26: [("cold_thermistor_ohm", 5200, "Ohm")],
    27: [("comp_c_r_ohm", 2.1, "Ohm"), ("comp_c_s_ohm", 5.3, "Ohm"), ("comp_r_s_ohm", 7.4, "Ohm")],
    28: [("comp_c_r_ohm", OPEN, None), ("comp_c_s_ohm", OPEN, None), ("comp_r_s_ohm", 7.2, "Ohm")],
    31: [("ac_run_capacitor_uf", 34.1, "uF")],
    32: [("ac_run_capacitor_uf", 44.1, "uF"), ("ac_run_capacitor_uf", 4.7, "uF")],
    34: [(None, 2, "uF")],
    36: [(None, 1365, "Ohm")],
    37: [(None, 4.7, "Ohm")],
    38: [(None, 1200, "Ohm")],
    39: [(None, 1200, "Ohm"), (None, OPEN, None)],
    44: [(None, 1, "Ohm")],
    47: [("mw_hv_diode_ohm", OPEN, None)],
    48: [(None, OPEN, None)],
    49: [("defrost_thermostat_cold", OPEN, None)],
    50: [("defrost_thermostat_cold", 0.2, "Ohm")],
    58: [(None, 3.5, IN_WATER)],
    59: [("gas_manifold_pressure", 3.5, IN_WATER)],
    60: [("gas_manifold_pressure", 0.13 * 6894.757293 / 249.08891, IN_WATER)],
    61: [("ff_temp", (38 - 32) / 1.8, "Cel"), ("fz_temp", (-2 - 32) / 1.8, "Cel")],
    64: [("evap_fan_v", 12.1, "V")],
    65: [("washer_inlet_valve_v", 120, "V")],
    66: [("supply_l1_l2_v", 208, "V")],
    67: [("supply_l1_n_v", 121, "V"), ("supply_l2_n_v", 3, "V")],
    70: [("comp_current_a", 1.3, "A"), (None, 12, "A")],
    71: [("ac_temp_drop", 18 / 1.8, "K")],
    72: [("ac_temp_drop", (78 - 58) / 1.8, "K")],
    73: [("mw_leakage", 5, "mW/cm2")],
    74: [("mw_water_rise", (86 - 68) / 1.8, "K")],
    76: [(None, OPEN, None)],
    1: [("block_l1_l2_v", 243, "V")],
    4: [("dryer_element_ohm", 9.2, "Ohm")],
    5: [("dryer_hi_limit", OPEN, None)],
    6: [("dryer_thermal_fuse", OPEN, None)],
    8: [("dryer_thermal_fuse", CLOSED, None)],
    9: [("dryer_thermistor_ohm", 10_400, "Ohm")],
    14: [("dryer_door_switch_closed", 0.3, "Ohm")],
    16: [("dryer_hi_limit", OPEN, None)],
    20: [("dryer_element_ohm", 9.2, "Ohm")],
    35: [("dryer_element_ohm", 2.4, "Ohm")],
    43: [("dryer_element_to_chassis", 20e6, "Ohm")],
    45: [("dryer_element_ohm", 9, "Ohm")],
    46: [("dryer_element_ohm", 9, "Ohm")],
    52: [("dryer_centrifugal_heat_drop_v", 0.4, "V")],
    57: [("dryer_element_to_chassis", 0, "Ohm")],
    69: [("dryer_total_current_a", 23.1, "A")],
    85: [("dryer_element_ohm", 1_000_000, "Ohm")],
}

PROBLEMS = {
    2: "reading_point_unknown",
    12: "reading_several_numbers",
    18: "reading_milli_or_mega",
    19: "reading_unit_missing",
    21: "reading_unit_missing",
    29: "reading_ambiguous",
    30: "reading_ambiguous",
    33: "reading_nameplate_only",
    40: "reading_several_numbers",
    41: "reading_is_a_date",
    42: "reading_is_a_date",
    51: "reading_state_unknown",
    56: "reading_second_point_missing",
    62: "reading_several_numbers",
    63: "reading_unit_missing",
    68: "reading_doubtful",
    75: "reading_state_unknown",
    77: "reading_ambiguous",
    78: "reading_ambiguous",
    79: "reading_several_numbers",
    80: "reading_missing",
    81: "reading_letter_for_digit",
    82: "reading_letter_for_digit",
    83: "reading_not_understood",
    84: "reading_negative",
}

# Where the outcome differs from the file's, and why the file is held to be wrong.
OTHER_OUTCOME = {
    28: ("parsed_with_inference", "no unit is written, as in row 27, which the file counts so"),
    32: ("parsed_with_inference", "neither the unit nor the part is written"),
    36: ("unassigned", "the same coil as in row 38: a gas valve has three of them"),
    39: (
        "unassigned",
        "4-5 are motor terminals too; only the size says coil, and size decides nothing",
    ),
}


def _rows() -> list[dict[str, str]]:
    return list(csv.DictReader(REFERENCES.read_text(encoding="utf-8").splitlines()))


def _note(row: dict[str, str]) -> Note:
    unit = "degF" if int(row["no"]) in FAHRENHEIT_FILE else None
    return parse_note(row["text"], kind=row["kind"], temperature_unit=unit)


def _outcome(note: Note) -> str:
    """The outcome of a whole note, in the words of the file."""
    found = {reading.value.outcome for reading in note.readings}
    if "refused" in found or "verdict_only" in found:
        return found.pop() if len(found) == 1 else "mixed"
    if all(reading.test_point is None for reading in note.readings):
        return "unassigned"
    ranked = ("parsed_with_inference", "parsed", "qualitative")
    return next(outcome for outcome in ranked if outcome in found)


def _state_or_number(reading: NoteReading) -> str | float | None:
    value = reading.value
    return OPEN if value.is_open else CLOSED if value.is_closed else value.value


@pytest.mark.parametrize("row", _rows(), ids=lambda row: f"{row['no']}-{row['text']}")
def test_an_example_is_read_as_its_row_says(row: dict[str, str]) -> None:
    number = int(row["no"])
    note = _note(row)
    expected_outcome, _ = OTHER_OUTCOME.get(number, (row["outcome"], ""))
    assert _outcome(note) == expected_outcome
    assert note.unread == ()
    if number in PROBLEMS:
        assert [reading.value.problem for reading in note.readings] == [PROBLEMS[number]]
        return
    if expected_outcome == "verdict_only":
        assert [reading.value.value for reading in note.readings] == [None]
        return
    assert [(reading.test_point, reading.value.unit) for reading in note.readings] == [
        (point, unit) for point, _, unit in READINGS[number]
    ]
    for reading, (_, expected, _) in zip(note.readings, READINGS[number], strict=True):
        # 1e-9: the pressures rest on factors printed with ten digits; the others on float rounding
        assert _state_or_number(reading) == (
            expected if isinstance(expected, str) else pytest.approx(expected, rel=1e-9, abs=1e-12)
        )


def test_every_row_has_an_expectation() -> None:
    rows = _rows()
    verdicts = {int(row["no"]) for row in rows if row["outcome"] == "verdict_only"}
    assert len(rows) == 85
    assert verdicts | set(READINGS) | set(PROBLEMS) == {int(row["no"]) for row in rows}


def test_the_examples_keep_what_is_written_next_to_the_value() -> None:
    """Temperatures, nameplates, operators and approximations of the rows named in the id."""
    notes = {int(row["no"]): _note(row).readings for row in _rows()}
    assert notes[9][0].temperature_cel == pytest.approx((72 - 32) / 1.8)
    assert notes[26][0].temperature_cel is None
    assert "temperature_dropped" in notes[26][0].value.flags
    assert notes[49][0].temperature_cel == pytest.approx(-15)
    assert notes[31][0].nameplate == 35
    assert [reading.nameplate for reading in notes[32]] == [45, 5]
    assert "room_noted" in notes[25][0].value.flags
    assert (notes[43][0].value.comparator, notes[44][0].value.comparator) == (">", "<")
    assert all("approximate" in notes[row][0].value.flags for row in (45, 46))
    assert notes[70][1].value.flags[-1] == "starting_current"
    assert notes[39][1].value.flags == ("hot_noted",)
