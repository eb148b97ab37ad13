"""Numbers → text: "31 of 42 jobs, 74 % (59–85 %)"; "too few jobs to say"."""

from datetime import date

import pandas as pd

MINUS = "−"


def is_missing(value: object) -> bool:
    """Say whether a value is NULL: "cannot be said from these records"."""
    return value is None or bool(pd.isna(value))


def percent(fraction: float | None, digits: int = 0) -> str:
    """Write a fraction as per cent; a missing one as a dash."""
    return "–" if is_missing(fraction) else f"{100 * fraction:.{digits}f} %"


def percent_range(low: float | None, high: float | None) -> str:
    """Write an interval of fractions as "59–85 %"."""
    return "–" if is_missing(low) or is_missing(high) else f"{100 * low:.0f}–{100 * high:.0f} %"


def rate(k: int, n: int, low: float | None, high: float | None, noun: str = "jobs") -> str:
    """Write a rate with its numbers: "31 of 42 jobs, 74 % (59–85 %)".

    With n = 0 it cannot be said; below ten only the counts are written.
    """
    if is_missing(n) or n == 0:
        return f"no {noun} to say it from"
    if n < 10:
        return f"{k:,.0f} of {n:,.0f} {noun}, too few for a percentage"
    return f"{k:,.0f} of {n:,.0f} {noun}, {percent(k / n)} ({percent_range(low, high)})"


def number(value: float | None, digits: int = 0, unit: str = "") -> str:
    """Write a number with thousands separators and its unit; a missing one as a dash."""
    if is_missing(value):
        return "–"
    text = f"{value:,.{digits}f}".replace("-", MINUS)
    return f"{text} {unit}".rstrip()


def significant(value: float | None, unit: str = "", digits: int = 3) -> str:
    """Write a meter value with three significant digits and its unit, kilo and mega included."""
    if is_missing(value):
        return "–"
    for factor, prefix in ((1e6, "M"), (1e3, "k")):
        if unit == "Ohm" and abs(value) >= factor:
            return f"{value / factor:.{digits}g} {prefix}Ω"
    return f"{value:.{digits}g} {unit_sign(unit)}".rstrip()


UNIT_SIGNS = {"Ohm": "Ω", "MOhm": "MΩ", "uF": "µF", "Cel": "°C", "[in_i'H2O]": "in w.c.", "1": ""}


def unit_sign(ucum: str | None) -> str:
    """Return the sign that people write for a UCUM code."""
    return UNIT_SIGNS.get(ucum or "", ucum or "")


def counted(n: int, noun: str) -> str:
    """Write a count with its noun: "1 job", "2 jobs"."""
    return f"{n:,.0f} {noun}" if n == 1 else f"{n:,.0f} {noun}s"


def day(value: date | None) -> str:
    """Write a date the ISO way; a missing one as a dash."""
    return "–" if is_missing(value) else f"{value:%Y-%m-%d}"


def listed(words: list[str], last: str = "and") -> str:
    """Write a list as a sentence does: "a, b and c"."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} {last} {words[-1]}"
