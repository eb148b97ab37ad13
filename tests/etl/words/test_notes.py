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
