"""A unit, a point or a state is never chosen because the value then fits (trade rule 2)."""

import ast
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

import etl.readings
from etl.readings import parse_note, parse_value
from etl.readings.lookups import quantities


@given(
    st.decimals("0.1", "500", places=1),
    st.sampled_from(["resistance", "continuity", "AC voltage", "AC current", "capacitance"]),
)
def test_a_unit_is_never_inferred_because_the_value_then_fits(number, quantity: str) -> None:
    """A bare number has the quantity's one usual unit, whatever its size: 9.2 and 0.0092 alike."""
    bare = parse_value(str(number), quantity=quantity)
    usual = quantities()[quantity].usual_ucum
    written = parse_value(f"{number} {usual}", quantity=quantity)
    if bare.problem:
        assert bare.problem == written.problem == "reading_not_believable"
    else:
        assert (bare.value, bare.unit) == (written.value, written.unit)


def test_the_parser_has_no_way_to_the_limits() -> None:
    """No file of the package names the table of limits, so none can be looked at."""
    for path in Path(etl.readings.__file__).parent.glob("*.py"):
        texts = [
            node.value
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
            if isinstance(node, ast.Constant) and isinstance(node.value, str)
        ]
        assert not any(text.startswith("tolerances") for text in texts), path.name


def test_the_same_words_name_the_same_point_for_sound_and_for_hopeless_values() -> None:
    """`coil` alone names no coil at any value; `elem` and `L1` name one at every value."""
    for ohm in (0, 0.5, 4, 9.2, 40, 99, 300, 9999):
        assert _read(f"elem {ohm}") == [("dryer_element_ohm", ohm)]
    for ohm in (0.01, 1, 90, 4000):
        assert _read(f"coil {ohm} ohm", "dryer_gas") == [(None, ohm)]
    for volt in (0.5, 60, 121, 240):
        assert _read(f"L1 {volt}") == [("supply_l1_n_v", volt)]


def _read(text: str, kind: str = "dryer_electric") -> list[tuple[str | None, float | None]]:
    readings = parse_note(text, kind=kind).readings
    return [(reading.test_point, reading.value.value) for reading in readings]
