"""The text after a number, or the unit column → a unit, or the reason why not."""

import re

from etl.readings.lookups import (
    Quantity,
    Unit,
    units,
    units_by_code,
    units_in_any_case,
)

OHM = r"\s*(?:[oO][hH][mM][sS]?|Ω)?"
MILLI = re.compile(f"m{OHM}")
MILLI_OR_MEGA = re.compile(f"[mM]{OHM}")
NO_UNIT = frozenset(("°", "deg", "degrees", "degree"))
DIFFERENCE_UNITS = {"K": "K", "k": "K"}


def find_unit(text: str, known: Quantity | None, fold_case: bool) -> Unit | str:
    """Return the unit that a text names, or a problem code; `known` may refuse its quantity.

    Where the source writes all in one case, m and M before ohm cannot be distinguished.
    """
    is_resistance = known is None or "resistance" in known.unit_quantities
    if is_resistance and (MILLI_OR_MEGA if fold_case else MILLI).fullmatch(text):
        return "reading_milli_or_mega"
    if known and "temperature difference" in known.unit_quantities:
        text = DIFFERENCE_UNITS.get(text, text)
        unit = units_by_code()["K"] if text == "K" else _named(text)
    else:
        unit = _named(text)
    if unit is None:
        return "reading_not_understood"
    if known and known.unit_quantities and unit.quantity not in known.unit_quantities:
        return "reading_unit_of_other_quantity"
    return unit


def usual_unit(known: Quantity | None) -> Unit | str:
    """Return the one unit that a quantity is usually written in, or reading_unit_missing."""
    if known is None or not known.usual_ucum:
        return "reading_unit_missing"
    ucum = known.usual_ucum
    return units_by_code().get(ucum) or Unit(ucum, 1.0, 0.0, "1", "")


def in_base(number: float, unit: Unit, quantity: str | None) -> float:
    """Convert to the base unit; a temperature difference never subtracts 32."""
    if quantity == "temperature difference":
        return number / 1.8 if unit.ucum == "[degF]" else number
    if unit.ucum == "[degF]":
        return (number - 32) / 1.8
    return number * unit.factor + unit.offset


def _named(text: str) -> Unit | None:
    """Find the spelling as written first: M and m, K and k differ; then in any case."""
    bare = text.rstrip(".") if text not in units() else text
    return units().get(bare) or units_in_any_case().get(bare.casefold())
