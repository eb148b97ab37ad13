"""Readings in notes as several shops write them: recall 75 %, and none from a trap (issue 20).

Invented notes (no source: common practice); tests/etl/words/phrases.py says what was held out.
"""

import csv
import math
from pathlib import Path

import pytest

from etl.readings import parse_note

SETS = ("first", "second", "fourth", "fifth", "sixth", "seventh")
HERE = Path(__file__).parent
OPINIONS = {"verdict_pass": "pass", "verdict_fail": "fail"}


def _rows(name: str) -> list[dict[str, str]]:
    with (HERE / f"{name}.csv").open(encoding="utf-8") as file:
        return list(csv.DictReader(file, delimiter="\t"))


def _read(row: dict[str, str]) -> list[tuple[str, float | str]]:
    """Return the readings that a load would take: a point and a number, state or opinion."""
    note = parse_note(row["note"], kind=row["kind"], decimal=row["decimal"])
    return [
        (r.test_point, _shown(r.value))
        for r in note.readings
        if r.test_point and not r.value.problem
    ]


def _shown(value) -> float | str:
    if value.is_open or value.is_closed:
        return "open" if value.is_open else "closed"
    return OPINIONS.get(value.flags[0], value.flags[0]) if value.value is None else value.value


def _wanted(row: dict[str, str]) -> list[tuple[str, float | str]]:
    pairs = [pair.split("=") for pair in (row["expected"] or "").split("; ") if pair]
    return [(point, _number(value)) for point, value in pairs]


def _number(text: str) -> float | str:
    try:
        return float(text)
    except ValueError:
        return text


def _is_same(read: tuple[str, float | str], wanted: tuple[str, float | str]) -> bool:
    if read[0] != wanted[0] or isinstance(read[1], str) or isinstance(wanted[1], str):
        return read == wanted
    return math.isclose(read[1], wanted[1], rel_tol=1e-3, abs_tol=0.006)


@pytest.mark.parametrize("name", [f"notes_{name}" for name in SETS])
@pytest.mark.parametrize("held_out", [0, 1])
def test_readings_are_found_and_none_is_invented(name: str, held_out: int) -> None:
    wanted = found = 0
    invented = []
    for row in _rows(name)[1 - held_out :: 2]:
        read = _read(row)
        for reading in _wanted(row):
            wanted += 1
            match = next((r for r in read if _is_same(r, reading)), None)
            if match:
                found += 1
                read.remove(match)
        invented += [(row["note"], *reading) for reading in read]
    assert invented == []
    assert found / wanted >= 0.85


@pytest.mark.parametrize("name", [f"note_traps_{name}" for name in (*SETS, "third")])
def test_a_trap_gives_no_reading(name: str) -> None:
    assert [(row["note"], _read(row)) for row in _rows(name) if _read(row)] == []


@pytest.mark.parametrize(
    ("kind", "note", "read"),
    [
        (
            "refrigerator",
            "Checked defrost heater, measured 31 ohms",
            [("defrost_heater_ohm", 31.0)],
        ),
        ("refrigerator", "def htr OL. replaced heater", [("defrost_heater_ohm", "open")]),
        ("refrigerator", "def thermostat at 5F - open", [("defrost_thermostat_cold", "open")]),
        ("refrigerator", "set fridge to 37F and freezer to 0F", []),
        ("refrigerator", "replaced 26 ohm heater", []),
        ("refrigerator", "don't open freezer for 24 hours", []),
        ("refrigerator", "neighbor's freezer is at 4F", []),
        ("range_electric", "set 350 got 310F", [("oven_temp_check", (310 - 32) / 1.8)]),
        ("dryer_electric", "thermal fuse blown", [("dryer_thermal_fuse", "open")]),
        ("dryer_electric", "motor blown", []),
    ],
)
def test_a_class_of_notes(kind: str, note: str, read: list) -> None:
    found = _read({"kind": kind, "note": note, "decimal": "."})
    assert [point for point, _ in found] == [point for point, _ in read]
    assert all(_is_same(one, two) for one, two in zip(found, read, strict=True))


FEEDS = [  # volts at a load are the output to it; bare only where the number is like a supply
    (
        "dryer_electric",
        "240 at outlet / 0 at element",
        "supply_l1_l2_v=240; dryer_heater_output_v=0",
    ),
    ("range_electric", "240 at outlet / 0 at bake element", "supply_l1_l2_v=240; bake_output_v=0"),
    (
        "dishwasher",
        "120 at outlet / 118 at drain pump",
        "supply_line_neutral_v=120; dw_drain_pump_v=118",
    ),
    ("dryer_electric", "9.8 ohms at element", "dryer_element_ohm=9.8"),
    ("dryer_electric", "9.8 at element", ""),
    ("dryer_electric", "0 at element", ""),
    ("dishwasher", "line 119.6, water line 30 in", "supply_line_neutral_v=119.6"),
    ("washer", "tested 120vac at pump connector", "washer_drain_pump_v=120"),
]
PLACED = [
    ("range_electric", "broil zorp 19.4 ohms bake elem open", "bake_element_ohm=open"),
    ("range_electric", "broil elmt 19.4 ohms bake elmt open", "broil_element_ohm=19.4; bake_element_ohm=open"),
    ("washer_front", "lid lock coil 62 ohms", "washer_lid_lock_coil_ohm=62"),
    ("washer_front", "coil 62 ohms", ""),
    ("washer", "drain pump windings OL", "washer_drain_pump_ohm=open"),
    ("refrigerator", "found FF at 48F and FZ at 3F", "ff_temp=8.8889; fz_temp=-16.1111"),
    ("freezer", "box at 18 deg F on arrival", "fz_temp=-7.7778"),
    ("freezer", "arrived 9:15, fz 18F", "fz_temp=-7.7778"),
    ("refrigerator", "run-start 9.1, run-com 3.4", "comp_r_s_ohm=9.1; comp_c_r_ohm=3.4"),
    ("cooktop_electric", "LF elem 46 ohms, RF 43, LR OL", "surface_element_ohm=46; surface_element_ohm=43; surface_element_ohm=open"),
    ("room_ac", "cap 35/5 uf tests 22/5 uf", "ac_run_capacitor_uf=22; ac_run_capacitor_uf=5"),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "note", "expected"), FEEDS + PLACED)
def test_a_reading_finds_its_place_or_none(kind: str, note: str, expected: str) -> None:
    found = _read({"kind": kind, "note": note, "decimal": "."})
    wanted = _wanted({"expected": expected})
    assert len(found) == len(wanted), found
    assert all(_is_same(one, two) for one, two in zip(found, wanted, strict=True)), found
