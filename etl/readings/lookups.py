"""Units, quantities and words of readings, from sql/lookups: data, not code."""

from dataclasses import dataclass
from functools import cache

import sql
from etl.readings.normalise import plain


@dataclass(frozen=True)
class Unit:
    """A unit: base = factor * value + offset."""

    ucum: str
    factor: float
    offset: float
    base: str
    quantity: str


@dataclass(frozen=True)
class Quantity:
    """A quantity: units it may be written in, the usual one, and believable bounds (base unit)."""

    unit_quantities: frozenset[str]
    usual_ucum: str
    low: float | None
    high: float | None


@cache
def units() -> dict[str, Unit]:
    """Return every unit by its spelling; spellings are case-sensitive (mΩ is not MΩ)."""
    found: dict[str, Unit] = {}
    for row in sql.lookup("units"):
        unit = Unit(
            row["ucum"],
            float(row["factor_to_base"]),
            float(row["offset_to_base"]),
            row["base_ucum"],
            row["quantity"],
        )
        for spelling in (row["ucum"], *row["spellings"].split("|")):
            found.setdefault(plain(spelling), unit)
    return found


@cache
def units_in_any_case() -> dict[str, Unit]:
    """Return the units by lower-case spelling, where no two units share it."""
    shared: dict[str, set[Unit]] = {}
    for spelling, unit in units().items():
        shared.setdefault(spelling.casefold(), set()).add(unit)
    return {spelling: next(iter(found)) for spelling, found in shared.items() if len(found) == 1}


@cache
def units_by_code() -> dict[str, Unit]:
    """Return every unit by its UCUM code."""
    return {unit.ucum: unit for unit in reversed(units().values())}


@cache
def quantities() -> dict[str, Quantity]:
    """Return what is known of each quantity of sql/lookups/test_points.csv."""
    return {
        row["quantity"]: Quantity(
            frozenset(filter(None, row["unit_quantities"].split("|"))),
            row["usual_ucum"],
            float(row["low"]) if row["low"] else None,
            float(row["high"]) if row["high"] else None,
        )
        for row in sql.lookup("quantities")
    }


@cache
def words() -> dict[str, str]:
    """Return the meaning of each word that stands for a reading, by the lower-case word."""
    return _meanings(is_observation=False)


@cache
def observation_words() -> dict[str, str]:
    """Return the meaning of each word of an observation, by the lower-case word."""
    return _meanings(is_observation=True)


def _meanings(is_observation: bool) -> dict[str, str]:
    return {
        plain(word).lower(): row["meaning"]
        for row in sql.lookup("reading_words")
        for word in row["words"].split("|")
        if row["meaning"].startswith("seen_") == is_observation
    }
