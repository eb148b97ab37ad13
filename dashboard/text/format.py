"""Numbers → text as every page, report, table and command shows them.

Percent has no more digits than its interval supports, money has the shop's currency and thousands,
minutes become hours from 90 on, a missing value is a dash. Full digits are for the machine export.
"""

from contextvars import ContextVar
from datetime import date
from typing import TYPE_CHECKING, Any

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
FAHRENHEIT, CELSIUS = "F", "C"
_temperatures: ContextVar[str] = ContextVar("temperatures", default=FAHRENHEIT)


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
    return f"{_hundredths(fraction, max(digits, _decimals(low, high)))}%"


def percent_range(low: float | None, high: float | None) -> str:
    """Write an interval of fractions: "59–85%"."""
    if is_missing(low) or is_missing(high):
        return MISSING
    digits = _decimals(low, high)
    return f"{_hundredths(low, digits)}–{_hundredths(high, digits)}%"


def _hundredths(fraction: float, digits: int) -> str:
    value = round(100 * fraction, digits) + 0.0  # no minus before a zero
    return f"{value:.{digits}f}".replace("-", MINUS)


def _decimals(low: float | None, high: float | None) -> int:
    if is_missing(low) or is_missing(high):
        return 0
    return int(high - low < 0.01)


def interval(fraction: float | None, low: float | None, high: float | None) -> str:
    """Write a fraction with its interval: "67% (59–85%)"; without one the fraction alone."""
    if is_missing(low) or is_missing(high):
        return percent(fraction)
    return f"{percent(fraction, low=low, high=high)} ({percent_range(low, high)})"


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


def temperatures_in(unit: str) -> None:
    """Write temperatures in "F" or "C" from here on, in this page run or command only."""
    _temperatures.set(unit)


def temperature_unit() -> str:
    """Return the unit in which temperatures are written: "F" or "C"."""
    return _temperatures.get()


def as_shown(value: Any, ucum: str | None) -> Any:
    """Return a number, or a column of them, of a unit as it is shown.

    Temperatures (Cel) and differences of them (K) change with the shop's unit, nothing else does.
    """
    if _temperatures.get() == CELSIUS or ucum not in ("Cel", "K"):
        return value
    return value * 1.8 + 32 if ucum == "Cel" else value * 1.8


def as_stored(value: float, ucum: str | None) -> float:
    """Return a number that a person entered in the unit shown, in the unit of the records."""
    if _temperatures.get() == CELSIUS or ucum not in ("Cel", "K"):
        return value
    return (value - 32) / 1.8 if ucum == "Cel" else value / 1.8


def temperature(celsius: float | None, unit: str = "Cel", digits: int = 1) -> str:
    """Write a temperature (Cel) or a difference (K) in the shop's unit: "72 °F", "55.9 °F"."""
    if is_missing(celsius):
        return MISSING
    value = round(as_shown(celsius, unit), digits) + 0.0  # no minus before a zero
    return f"{number(value, digits).removesuffix('.0')} {unit_sign(unit)}"


def significant(value: float | None, unit: str = "", digits: int = 3) -> str:
    """Write a meter value with three significant digits and its unit, kilo and mega included.

    Temperatures are in the shop's unit, to a tenth of a degree.
    """
    if is_missing(value):
        return MISSING
    if unit in ("Cel", "K"):
        return temperature(value, unit)
    for factor, prefix in ((1e6, "M"), (1e3, "k")):
        if unit == "Ohm" and abs(value) >= factor:
            return f"{value / factor:.{digits}g} {prefix}Ω"
    return (
        f"{value:.{digits}g}%" if unit == "%" else f"{value:.{digits}g} {unit_sign(unit)}".rstrip()
    )


UNIT_SIGNS = {"Ohm": "Ω", "MOhm": "MΩ", "uF": "µF", "[in_i'H2O]": "in w.c.", "1": ""}


def unit_sign(ucum: str | None) -> str:
    """Return the sign that people write for a UCUM code; of temperatures the shop's."""
    if ucum in ("Cel", "K"):
        return f"°{_temperatures.get()}"
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
