"""What parts lists call parts; invented descriptions, common practice."""

from pathlib import Path

import pytest

from etl.load import load
from etl.words.parts import component_of
from tests.etl.rows import rows


@pytest.mark.parametrize(
    ("kind", "text", "component"),
    [
        ("washer_top", "VALVE,WATER INLET DUAL", "water_inlet_valve"),
        ("refrigerator", "Assy-Motor Evap Fan", "evaporator_fan"),
        ("refrigerator", "Thermostat, defrost bi-metal", "defrost_thermostat"),
        ("dryer_electric", "ELEMENT,HTR DRYER 5400W", "heating_element"),
        ("dishwasher", "Latch Assy Door", "door_latch"),
        ("dishwasher", "drain pump hose", None),
        ("dishwasher", "drain pump mount", None),
        ("refrigerator", "fan motor", None),
        ("refrigerator", "knob", None),
    ],
)
def test_a_part_is_named_by_all_its_words_in_any_order(kind: str, text: str, component: str | None):
    assert component_of(kind, text) == component


def test_a_load_knows_the_parts_of_a_parts_list(tmp_path: Path) -> None:
    jobs, parts = tmp_path / "jobs.csv", tmp_path / "part_lines.csv"
    jobs.write_text(
        "job_id,opened_on,closed_on,appliance_kind,symptom,disposition\n"
        "1,2025-03-03,2025-03-04,dishwasher,leaks,repaired\n"
    )
    parts.write_text('job_id,part_no,component\n1,P1,"PUMP ASM, DRAIN"\n1,P2,drain pump hose\n')
    load([jobs, parts], tmp_path / "db")
    found = rows(tmp_path / "db", "SELECT component FROM core.part_lines ORDER BY part_no")
    assert found["component"].fillna("").tolist() == ["drain_pump", ""]
