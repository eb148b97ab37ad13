"""Limits as text: what a test should read, the same on card, sheet, job and readings."""

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from dashboard.rows import Row
from dashboard.text.format import is_missing, percent_range, significant, temperature

CONTACT, RATIO = "continuity", "ratio_to_nameplate"
VOLTS = {"AC voltage": "V AC", "DC voltage": "V DC"}
BY_TEMPERATURE = ("ntc_beta", "pt_iec60751")
OPEN_FROM_OHM = 1000.0  # a contact whose limits begin here should read open


def limits_words(low: float | None, high: float | None, unit: str | None, digits: int = 3) -> str:
    """Write limits as "5–40 Ω", one-sided ones in words; nothing where there are none.

    Temperatures and their differences (K) are whole degrees in the shop's unit.
    """
    unit = unit if isinstance(unit, str) else ""
    if unit in ("Cel", "K"):
        return _temperatures(low, high, unit)
    if is_missing(low) and is_missing(high):
        return ""
    if is_missing(low):
        return f"at most {significant(high, unit, digits)}"
    if is_missing(high):
        return f"at least {significant(low, unit, digits)}"
    first, second = significant(low, unit, digits), significant(high, unit, digits)
    value, _, sign = first.partition(" ")
    is_alike = sign and second.endswith(f" {sign}") and low >= 0
    return f"{value}–{second}" if is_alike else f"{first} to {second}"


def limits_in_full(low: float | None, high: float | None, unit: str | None) -> str:
    """Write limits with all their digits, next to a reading; "none in numbers" without any."""
    return limits_words(low, high, unit, 4) or "none in numbers"


def should_read(row: Row) -> str:
    """Write what a test should read when nothing is noted, and what must be noted first.

    `row`: good, quantity, limit_basis, low, high, unit, to_note, temp_model,
    by_type (sql/pages/chain_limits.sql). Volts are AC or DC; a sensor's ohms need a temperature.
    """
    text = _expected(row)
    if text and row.temp_model in BY_TEMPERATURE:
        return f"{text}; note the temperature"
    if is_missing(row.to_note):
        return text
    typed = _typed(row)
    if typed and (not text or row.limit_basis == RATIO):
        return f"{typed} (note which)"
    if not text:
        return f"depends on {row.to_note}: note it"
    return f"{text}; note {row.to_note}"


def _typed(row: Row) -> str:
    """Write the limits of each type: "natural gas: 3–5 in w.c.; LP gas: 9.5–11 in w.c."."""
    if not isinstance(row.by_type, Sequence | np.ndarray):
        return ""
    return "; ".join(f"{_type_name(each)}: {_of_type(each, _unit(row))}" for each in row.by_type)


def _type_name(row: Mapping[str, Any]) -> str:
    return str(row["type"]).partition(", ")[0]


def _of_type(row: Mapping[str, Any], unit: str | None) -> str:
    low, high = row["low"], row["high"]
    return _of_nameplate(low, high) if row["basis"] == RATIO else limits_words(low, high, unit)


def _of_nameplate(low: float, high: float) -> str:
    return f"{percent_range(low, high)} of the nameplate rating"


def _expected(row: Row) -> str:
    if row.limit_basis == RATIO:
        return _of_nameplate(row.low, row.high)
    if row.limit_basis == "sum_rule":
        return "the sum of the other two windings"
    if row.limit_basis != "absolute":
        return "" if is_missing(row.good) else str(row.good)
    words = limits_words(row.low, row.high, _unit(row))
    if row.quantity == CONTACT and words:
        is_open = not is_missing(row.low) and row.low >= OPEN_FROM_OHM
        return f"open, {words}" if is_open else f"closed, {words}"
    return words


def _unit(row: Row) -> str | None:
    """Return the unit of a test's limits, volts as AC or DC."""
    unit: str | None = VOLTS.get(row.quantity, row.unit)
    return unit


def _temperatures(low: float | None, high: float | None, unit: str) -> str:
    edges = [None if is_missing(e) else temperature(e, unit, digits=0) for e in (low, high)]
    if not any(edges):
        return ""
    if edges[0] is None:
        return f"at most {edges[1]}"
    return f"{edges[0].partition(' ')[0]} to {edges[1]}" if edges[1] else f"at least {edges[0]}"
