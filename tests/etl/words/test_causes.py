"""What a written cause means: a part and a word for its failure, in any order."""

import pytest

import sql
from etl.words.causes import cause_of


@pytest.mark.parametrize(
    ("kind", "text", "cause"),
    [
        ("refrigerator", "def htr open", "defrost_heater_open"),
        ("refrigerator", "burnt out defrost heater", "defrost_heater_open"),
        ("washer", "tub bearings gone", "tub_bearing_worn"),
        ("washer", "Trommellager defekt", "tub_bearing_worn"),
        ("washer", "roulements usés", "tub_bearing_worn"),
        ("dishwasher", "broken glass in drain pump", "drain_pump_blocked"),
        ("dryer_electric", "htr open", "heating_element_open"),
        ("dryer_electric", "element burnt out", "heating_element_open"),
        ("dryer_electric", "element grounded to case", "heating_element_earth_fault"),
        ("washer", "pump tested ok, belt broken", "drive_belt_broken"),
        ("washer", "pump noisy, impeller worn", "drain_pump_worn"),
        ("refrigerator", "water valve coil open", "inlet_valve_open"),
    ],
)
def test_a_part_and_its_failure_are_a_cause(kind: str, text: str, cause: str) -> None:
    assert cause_of(kind, text) == cause


@pytest.mark.parametrize(
    ("kind", "text"),
    [
        ("washer", "pump tested ok"),
        ("washer", "belt or motor"),
        ("washer", "pump and belt replaced"),
        ("washer", "no fault in motor"),
        ("washer", "possibly the board"),
        ("refrigerator", "fan"),
        ("refrigerator", "compressor bad"),  # seized, open or to the case: not said
        ("dishwasher", "not the drain pump"),
        ("washer", "belt broken, bearing noisy"),  # two causes
        ("washer", "belt broken, pump"),  # what of the pump?
    ],
)
def test_a_part_that_is_good_or_one_of_two_means_no_cause(kind: str, text: str) -> None:
    assert cause_of(kind, text) is None


def test_no_word_that_the_register_lists_means_another_cause() -> None:
    wrong = [
        (row["kind"], word)
        for row in sql.lookup("causes")
        for word in row["synonyms"].split("|")
        if cause_of(row["kind"], word) not in (row["cause"], None)
    ]
    assert wrong == []


@pytest.mark.parametrize(
    ("kind", "text", "cause"),
    [
        ("dryer_electric", "thermal cutoff blown from clogged vent", "vent_blocked"),
        ("refrigerator", "compressor seized due to dirty condenser", "condenser_dirty"),
        ("refrigerator", "evap fan motor bad, maybe due to dirty condenser", None),
        ("dishwasher", "leaking from door gasket", "door_gasket_worn"),
        ("refrigerator", "fill tube froze up", "fill_tube_frozen"),
        ("range_electric", "bake element shorted to gnd", "bake_element_earth_fault"),
        ("dishwasher", "glass in drain pump impeller", "drain_pump_blocked"),
        ("washer_front", "door boot tore at 6 o'clock", "door_boot_torn"),
    ],
)
def test_the_reason_behind_a_failure_is_the_cause(kind: str, text: str, cause: str | None) -> None:
    assert cause_of(kind, text) == cause
