"""Limits as text: what a test should read, the same on card, sheet, job and readings."""

from collections.abc import Sequence

import numpy as np

from dashboard.rows import Row
from dashboard.text.format import is_missing, number, percent_range, significant

CONTACT = "continuity"
OPEN_FROM_OHM = 1000.0  # a contact whose limits begin here should read open


def limits_words(low: float | None, high: float | None, unit: str | None, digits: int = 3) -> str:
    """Write limits as "5–40 Ω", one-sided ones in words; nothing where there are none.

    Temperatures are in both units, as shops of both read the same card.
    """
    unit = unit if isinstance(unit, str) else ""
    if unit == "Cel":
        return _temperatures(low, high)
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


def should_read(row: Row) -> str:
    """Write what a test should read when nothing is noted, and what must be noted first.

    `row`: good, quantity, limit_basis, low, high, unit, to_note,
    by_type (sql/pages/chain_limits.sql).
    """
    text = _expected(row)
    if is_missing(row.to_note):
        return text
    typed = _typed(row)
    if typed and not text:
        return f"{typed} (note which)"
    if not text:
        return f"depends on {row.to_note}: note it"
    return f"{text}; note {row.to_note}"


def _typed(row: Row) -> str:
    """Write the limits of each type of part: "natural gas: 4–6 in w.c.; LP: 10–11 in w.c."."""
    if not isinstance(row.by_type, Sequence | np.ndarray):
        return ""
    rows = (each for each in row.by_type)
    return "; ".join(f"{r['type']}: {limits_words(r['low'], r['high'], row.unit)}" for r in rows)


def _expected(row: Row) -> str:
    if row.limit_basis == "ratio_to_nameplate":
        return f"{percent_range(row.low, row.high)} of the nameplate rating"
    if row.limit_basis == "sum_rule":
        return "the sum of the other two windings"
    if row.limit_basis != "absolute":
        return "" if is_missing(row.good) else str(row.good)
    words = limits_words(row.low, row.high, row.unit)
    if row.quantity == CONTACT and words:
        is_open = not is_missing(row.low) and row.low >= OPEN_FROM_OHM
        return f"open, {words}" if is_open else f"closed, {words}"
    return words


def _temperatures(low: float | None, high: float | None) -> str:
    words = [_range(low, high, unit) for unit in ("F", "C")]
    return f"{words[0]} ({words[1]})" if words[0] else ""


def _range(low: float | None, high: float | None, unit: str) -> str:
    edges = [_degrees(edge, unit) for edge in (low, high)]
    if not any(edges):
        return ""
    if not edges[0]:
        return f"at most {edges[1]} °{unit}"
    return f"{edges[0]} to {edges[1]} °{unit}" if edges[1] else f"at least {edges[0]} °{unit}"


def _degrees(celsius: float | None, unit: str) -> str:
    if is_missing(celsius):
        return ""
    return number(celsius * 9 / 5 + 32 if unit == "F" else celsius)
