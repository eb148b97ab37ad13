"""Notes with several readings: which reading belongs to which point."""

import pytest

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


def test_a_note_on_a_warm_fridge_gives_its_three_readings() -> None:
    note = (
        "Customer states fridge warm, freezer cold. Coil solid ice, def htr OL, replaced it; "
        "bimetal cold closed, evap fan 12.1v"
    )
    assert _read(note, kind="refrigerator") == [
        ("defrost_heater_ohm", "open"),
        ("defrost_thermostat_cold", "closed"),
        ("evap_fan_v", 12.1),
    ]


@pytest.mark.parametrize(
    "note",
    [
        "TF OL hi-limit OL elem 9.2",
        "OL TF OL hi-limit 9.2 elem",
        "TF: OL, hi limit: OL, element = 9.2",
        "TF - OL; hilimit - OL; ele - 9.2 ohm",
        "tf OL\nhi-limit OL\nhtr reads 9.2Ω",
        "found OL on TF, OL on hi limit, elem tested 9.2 ohms",
    ],
)
def test_the_order_and_the_marks_do_not_matter_where_each_has_its_own(note: str) -> None:
    assert sorted(map(str, _read(note))) == sorted(
        map(
            str,
            [
                ("dryer_thermal_fuse", "open"),
                ("dryer_hi_limit", "open"),
                ("dryer_element_ohm", 9.2),
            ],
        )
    )


@pytest.mark.parametrize(
    ("note", "readings"),
    [
        ("elem OL to ground", [("dryer_element_to_chassis", "open")]),
        ("OL elem to gnd", [("dryer_element_to_chassis", "open")]),
        (
            "elem 9.2 to ground OL",
            [("dryer_element_ohm", 9.2), ("dryer_element_to_chassis", "open")],
        ),
        ("elem to case shorted", [("dryer_element_to_chassis", "closed")]),
        ("TF 0.2 ohm to ground", [(None, 0.2)]),
    ],
)
def test_to_ground_is_another_point_than_across_the_part(note: str, readings: list) -> None:
    assert _read(note) == readings


@pytest.mark.parametrize(
    ("note", "readings"),
    [
        ("dr sw closed .3 ohm", [("dryer_door_switch_closed", 0.3)]),
        ("door switch .2 ohm released", [("dryer_door_switch_open", 0.2)]),
        ("dr sw open OL", [("dryer_door_switch_open", "open")]),
        ("dr sw OL", [(None, "open")]),
        ("bars OL", [(None, "open")]),
        ("bars dry OL", [("dryer_moisture_bars_dry", "open")]),
        ("hi-limit OL hot", [(None, "open")]),
        ("motor sw OL at rest", [("dryer_centrifugal_heat_contact_rest", "open")]),
    ],
)
def test_where_the_state_decides_it_must_be_written(note: str, readings: list) -> None:
    assert _read(note) == readings


@pytest.mark.parametrize(
    ("note", "point"),
    [
        ("bimetal OL @ 70F", "defrost_thermostat_warm"),
        ("bimetal OL @ 5F", "defrost_thermostat_cold"),
        ("bimetal OL @ 32F", None),
        ("bimetal OL warm", "defrost_thermostat_warm"),
    ],
)
def test_a_noted_temperature_names_the_state_of_the_defrost_thermostat(note, point) -> None:
    """States as in tolerances.csv: cold below -9 Cel (15 F), warm above 16 Cel (60 F)."""
    assert _read(note, "refrigerator") == [(point, "open")]


def test_a_part_before_an_unknown_word_takes_no_reading() -> None:
    assert _read("elem 9.2 ohms vent clogged up") == [("dryer_element_ohm", 9.2)]


@pytest.mark.parametrize("note", ["ff 41F/fz 14F", "ff 41F fz 14F", "41F ff, 14F fz"])
def test_two_temperatures_with_their_units_are_two_readings(note: str) -> None:
    """41 F = 5 Cel, 14 F = -10 Cel: (41 - 32) / 1.8 and (14 - 32) / 1.8."""
    assert _read(note, "refrigerator") == [("ff_temp", 5), ("fz_temp", -10)]


def test_a_bare_temperature_needs_the_setting_of_the_file() -> None:
    assert _read("fz 2", "refrigerator") == [(None, "reading_unit_missing")]
    assert _read("fz 2", "refrigerator", temperature_unit="C") == [("fz_temp", 2)]
    assert _read("fz -2C", "refrigerator", temperature_unit="F") == [("fz_temp", -2)]


@pytest.mark.parametrize(("note", "count"), [("121/122/243", 3), ("121/122/208", 0), ("5/3/8", 0)])
def test_three_voltages_are_taken_only_where_two_legs_add_up(note: str, count: int) -> None:
    readings = parse_note(note, kind="range_electric").readings
    assert len([reading for reading in readings if reading.test_point]) == count


def test_a_word_that_fits_several_parts_names_none() -> None:
    assert _read("thermostat OL") == [(None, "open")]
    assert _read("elem 18 ohm", "range_electric") == [(None, 18)]


def test_an_unknown_kind_has_readings_but_no_points() -> None:
    for kind in ("", "toaster"):
        assert _read("elem 9.2 ohm", kind) == [(None, 9.2)]


def test_decimal_commas_and_folded_case_are_read_as_declared() -> None:
    assert _read("elem 9,2, TF ,1 ohm", decimal=",") == [
        ("dryer_element_ohm", 9.2),
        ("dryer_thermal_fuse", 0.1),
    ]
    folded = parse_note("MEGS TO GND 550M", kind="dryer_electric", fold_case=True)
    assert [r.value.problem for r in folded.readings] == ["reading_milli_or_mega"]


@pytest.mark.parametrize("kind", [kind for kind in KINDS if vocabulary(kind).points])
def test_every_test_point_can_be_named_by_its_first_words(kind: str) -> None:
    """Each point with a number is reached by at least one of its synonyms, written with its unit."""
    unreached = []
    for row in sql.lookup("test_points"):
        if kind not in row["kinds"].split("|") or row["quantity"] == "observation":
            continue
        number = (
            {"V": "209 V", "MOhm": "5 megs", "Cel": "20 C", "K": "9 C", "%": "5 %"}.get(
                row["unit_ucum"], f"3 {row['unit_ucum']}"
            )
            .replace("[in_i'H2O]", "wc")
            .replace("mA", "ma")
            .replace("3 ma", "0.3 ma")
        )
        points = {
            reading.test_point
            for words in row["synonyms"].split("|")
            for reading in parse_note(f"{words} {number}", kind=kind).readings
        }
        if row["test_point"] not in points:
            unreached.append(row["test_point"])
    assert unreached == []


def test_a_note_of_four_sentences_gives_its_four_readings() -> None:
    note = (
        "Customer states dryer not heating. Found TF open, replaced thermal fuse. Vent blocked. "
        "elem 9.2 ohms, hi-limit closed; L1-L2 243v"
    )
    assert _read(note) == [
        ("dryer_thermal_fuse", "open"),
        ("dryer_element_ohm", 9.2),
        ("dryer_hi_limit", "closed"),
        ("supply_l1_l2_v", 243),
    ]
