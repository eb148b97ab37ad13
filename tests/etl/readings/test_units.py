"""Units against published factors: UCUM essence v2.2 (2024-06-17), unless another is named."""

import pytest

from etl.readings import parse_value
from etl.readings.lookups import units_by_code

INCH_M = 0.0254  # [in_i], UCUM
GRAVITY = 9.80665  # [g], UCUM
POUND_KG = 0.45359237  # [lb_av], UCUM
WATER_INCH_PA = 9806.65 * INCH_M  # m[H2O] = 9.80665 kPa, UCUM
PSI_PA = POUND_KG * GRAVITY / INCH_M**2  # [psi] = [lbf_av]/[sin_i], UCUM


def test_the_pascals_of_the_two_inch_units_are_the_published_ones() -> None:
    """UCUM tables print 249.08891 Pa and 6894.757293 Pa; tolerance: their last digit."""
    assert pytest.approx(249.08891, abs=5e-6) == WATER_INCH_PA
    assert pytest.approx(6894.757293, abs=5e-7) == PSI_PA


@pytest.mark.parametrize(
    ("ucum", "pascal"),
    [("[psi]", PSI_PA), ("mbar", 100.0), ("kPa", 1000.0), ("[in_i'H2O]", WATER_INCH_PA)],
)
def test_pressures_convert_by_their_pascals(ucum: str, pascal: float) -> None:
    """Tolerance 1e-12: units.csv holds sixteen digits."""
    assert units_by_code()[ucum].factor == pytest.approx(pascal / WATER_INCH_PA, rel=1e-12)


@pytest.mark.parametrize(
    ("fahrenheit", "celsius"), [(-40, -40), (32, 0), (68, 20), (98.6, 37), (212, 100)]
)
def test_fahrenheit_meets_celsius_at_the_published_pairs(fahrenheit, celsius) -> None:
    """Pairs of checks by the fixed points of the scale; tolerance: float rounding."""
    reading = parse_value(f"{fahrenheit} °F")
    assert reading.value == pytest.approx(celsius, abs=1e-12)
    unit = units_by_code()["[degF]"]
    assert unit.factor * fahrenheit + unit.offset == pytest.approx(celsius, abs=1e-12)


def test_a_difference_of_eighteen_fahrenheit_is_ten_kelvin() -> None:
    """A difference never subtracts 32: 18 / 1.8 = 10."""
    reading = parse_value("18 F", quantity="temperature difference")
    assert (reading.value, reading.unit) == (10.0, "K")


PREFIXES = {"k": 1e3, "M": 1e6, "m": 1e-3, "u": 1e-6}  # UCUM, table 1: metric prefixes


@pytest.mark.parametrize(
    ("prefixed", "stem"),
    [
        ("kOhm", "Ohm"),
        ("MOhm", "Ohm"),
        ("mOhm", "Ohm"),
        ("mV", "V"),
        ("mA", "A"),
        ("uA", "A"),
        ("kW", "W"),
    ],
)
def test_prefixes_are_those_of_ucum(prefixed: str, stem: str) -> None:
    unit = units_by_code()[prefixed]
    assert unit.base == stem
    assert unit.factor == PREFIXES[prefixed.removesuffix(stem)]


def test_mf_and_mfd_mean_micro_in_this_trade() -> None:
    """Common practice, no source: capacitors are marked MFD."""
    assert {parse_value(f"35 {unit}").value for unit in ("mf", "MF", "mfd", "MFD", "uF")} == {35.0}
