"""Numbers → text as every page, report, table and command shows them.

Percent has no more digits than its interval supports, money has the shop's currency and thousands,
minutes become hours from 90 on, a missing value is a dash. Full digits are for the machine export.
"""

from datetime import date
from typing import TYPE_CHECKING

import pandas as pd
from babel.numbers import format_currency

if TYPE_CHECKING:
    from typing_extensions import TypeIs

MINUS = "−"
MISSING = "–"
HOURS_FROM_MIN = 90
MINUTES_TO_MIN = 100 * 60  # from there on whole hours
FEW = 10  # under this many, only the counts are written
LOCALE = "en_US"


def is_missing(value: object) -> "TypeIs[None]":
    """Return True if a value is NULL: "cannot be said from these records"."""
    return value is None or bool(pd.isna(value))  # type: ignore[call-overload]


def percent(
    fraction: float | None, digits: int = 0, low: float | None = None, high: float | None = None
) -> str:
    """Write a fraction as percent: "67%".

    With an interval narrower than one point, one decimal is shown, since the records support it.
    """
    if is_missing(fraction):
        return MISSING
    return f"{100 * fraction:.{max(digits, _decimals(low, high))}f}%".replace("-", MINUS)


def percent_range(low: float | None, high: float | None) -> str:
    """Write an interval of fractions: "59–85%"."""
    if is_missing(low) or is_missing(high):
        return MISSING
    digits = _decimals(low, high)
    return f"{100 * low:.{digits}f}–{100 * high:.{digits}f}%".replace("-", MINUS)


def _decimals(low: float | None, high: float | None) -> int:
    if is_missing(low) or is_missing(high):
        return 0
    return int(high - low < 0.01)


def points(difference: float | None) -> str:
    """Write a difference of two fractions: "+5 points", "−1 point"."""
    if is_missing(difference):
        return MISSING
    rounded = round(100 * difference)
    text = f"{rounded:+d}".replace("-", MINUS) if rounded else "0"
    return f"{text} {'point' if abs(rounded) == 1 else 'points'}"


def rate(k: int, n: int, low: float | None, high: float | None, noun: str = "jobs") -> str:
    """Write a rate with its numbers: "31 of 42 jobs, 74% (59–85%)".

    With n = 0 it cannot be said; below ten only the counts are written.
    """
    if is_missing(n) or n == 0:
        return f"no {noun} to say it from"
    if n < FEW:
        return f"{k:,.0f} of {n:,.0f} {noun}, too few for a percentage"
    interval = percent_range(low, high)
    return f"{k:,.0f} of {n:,.0f} {noun}, {percent(k / n, low=low, high=high)} ({interval})"


def number(value: float | None, digits: int = 0, unit: str = "") -> str:
    """Write a number with thousands separators and its unit; a missing one as a dash."""
    if is_missing(value):
        return MISSING
    text = f"{value:,.{digits}f}".replace("-", MINUS)
    return f"{text} {unit}".rstrip()


def money(value: float | None, currency: str | None, *, is_unit_price: bool = False) -> str:
    """Write an amount in the shop's currency (ISO 4217): "$13,913"; a unit price with cents.

    Without one known currency only the number is written. Symbols and the cents of a currency are
    those of the Unicode CLDR (library Babel).
    """
    if is_missing(value):
        return MISSING
    if is_missing(currency) or not currency:
        return number(value, 2 if is_unit_price else 0)
    pattern = None if is_unit_price else "¤#,##0"
    text = format_currency(value, currency, pattern, locale=LOCALE, currency_digits=is_unit_price)
    return text.replace("-", MINUS)


def minutes(value: float | None) -> str:
    """Write a duration: "75 min", from 90 minutes on "1 h 30 min", from 100 hours on "120 h"."""
    if is_missing(value):
        return MISSING
    whole = round(value)
    if abs(whole) < HOURS_FROM_MIN:
        return f"{whole} min".replace("-", MINUS)
    sign = MINUS if whole < 0 else ""
    if abs(whole) >= MINUTES_TO_MIN:
        return f"{sign}{abs(whole) / 60:,.0f} h"
    hours, rest = divmod(abs(whole), 60)
    return f"{sign}{hours:,} h {rest} min" if rest else f"{sign}{hours:,} h"


def temperature(celsius: float | None, unit: str = "F", digits: int = 0) -> str:
    """Write a temperature given in °C in the shop's unit, "F" or "C": "72 °F"."""
    if is_missing(celsius):
        return MISSING
    value = celsius * 9 / 5 + 32 if unit == "F" else celsius
    return number(value, digits, f"°{unit}")


def significant(value: float | None, unit: str = "", digits: int = 3) -> str:
    """Write a meter value with three significant digits and its unit, kilo and mega included."""
    if is_missing(value):
        return MISSING
    for factor, prefix in ((1e6, "M"), (1e3, "k")):
        if unit == "Ohm" and abs(value) >= factor:
            return f"{value / factor:.{digits}g} {prefix}Ω"
    return (
        f"{value:.{digits}g}%" if unit == "%" else f"{value:.{digits}g} {unit_sign(unit)}".rstrip()
    )


UNIT_SIGNS = {"Ohm": "Ω", "MOhm": "MΩ", "uF": "µF", "Cel": "°C", "[in_i'H2O]": "in w.c.", "1": ""}


def unit_sign(ucum: str | None) -> str:
    """Return the sign that people write for a UCUM code."""
    return UNIT_SIGNS.get(ucum or "", ucum or "")


def counted(n: int, noun: str) -> str:
    """Write a count with its noun: "1 job", "2 jobs"."""
    return f"{n:,.0f} {noun}" if n == 1 else f"{n:,.0f} {noun}s"


def capitalized(text: str) -> str:
    """Write a text with a capital at its start, the rest as it is."""
    return text[:1].upper() + text[1:]


def day(value: date | None) -> str:
    """Write a date: "Mar 14, 2026"; a missing one as a dash."""
    return MISSING if is_missing(value) else f"{value:%b} {value.day}, {value:%Y}"


def month(value: date | str | None) -> str:
    """Write a month, given as a date or as "2026-03": "March 2026"."""
    if is_missing(value):
        return MISSING
    first = date.fromisoformat(f"{value}-01") if isinstance(value, str) else value
    return f"{first:%B %Y}"


def month_tick(value: str) -> str:
    """Write a month, given as "2026-03", on an axis: "Mar", and the year under it."""
    first = date.fromisoformat(f"{value}-01")
    return f"{first:%b}\n{first:%Y}"


def listed(words: list[str], last: str = "and") -> str:
    """Write a list as a sentence does: "a, b and c"."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} {last} {words[-1]}"
