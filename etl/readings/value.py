"""One written value → one reading, or the reason why not.

Nothing here knows a limit: a unit, a point or a sign is never chosen because the value then fits.
"""

import re
from dataclasses import dataclass, replace
from functools import lru_cache

from etl.readings.lookups import (
    Quantity,
    Unit,
    observation_words,
    plain,
    quantities,
    units,
    units_by_code,
    words,
)

LONGEST = 80


@dataclass(frozen=True)
class Value:
    """A parsed value: a number in the base unit, or a state, or an opinion, or a problem code.

    outcome: parsed, parsed_with_inference, qualitative (a state), verdict_only (an opinion) or
    refused. flags name every inference: unit_inferred, approximate, decimal_comma, thousands.
    """

    outcome: str
    value: float | None = None
    unit: str | None = None
    quantity: str | None = None
    is_open: bool = False
    is_closed: bool = False
    comparator: str = ""
    flags: tuple[str, ...] = ()
    problem: str | None = None


OPEN = Value("qualitative", is_open=True)
CLOSED = Value("qualitative", is_closed=True)
STATES = {
    "open": OPEN,
    "closed": CLOSED,
    "absent": Value("qualitative", flags=("absent",)),
    "unstable": Value("qualitative", flags=("unstable",)),
    "verdict_pass": Value("verdict_only", flags=("verdict_pass",)),
    "verdict_fail": Value("verdict_only", flags=("verdict_fail",)),
    "ambiguous": Value("refused", problem="reading_ambiguous"),
    "unclear": Value("refused", problem="reading_second_point_missing"),
    "missing": Value("refused", problem="reading_missing"),
}
RESISTANCES = (None, "resistance", "continuity", "insulation resistance")

IS_DATE = re.compile(
    r"^(\d{1,2}[- ][A-Za-z]{3,9}([- ]\d{2,4})?|[A-Za-z]{3}[- ]\d{1,2}|\d{4}-\d{2}-\d{2}( .*)?"
    r"|\d{1,2}/\d{1,2}/\d{2,4})$"
)
NUMBER = re.compile(r"^(?P<sign>[-+]?)(?P<digits>[\d.,]*\d)(?P<rest>.*)$")
CODED = re.compile(r"^(\d*)([RrkKM])(\d+)$")
BEFORE = re.compile(
    r"^(<|>|less than|under|below|more than|over|above|~|approx\.?|about|abt|around)\s*", re.I
)
COMPARATORS = {"<": "<", "less than": "<", "under": "<", "below": "<"} | dict.fromkeys(
    (">", "more than", "over", "above"), ">"
)
LETTER_FOR_DIGIT = re.compile(r"\d[.,]?[OolI]\d|\d[.,][OolI]|^[lI]\d|^[Oo][.,]\d")
SERIAL_DAYS = range(43831, 54789)  # 2020 to 2049 as spreadsheet day numbers


@lru_cache(maxsize=65536)
def parse_value(
    text: str,
    *,
    unit: str | None = None,
    quantity: str | None = None,
    decimal: str = ".",
    fold_case: bool = False,
) -> Value:
    """Parse one cell that is said to hold one reading.

    `unit` is the unit column's text (a unit in the cell wins), `quantity` that of the test point:
    it names the usual unit of a bare number and refuses a unit of another quantity. `fold_case`
    says that the source writes all in one case, so that milli and mega cannot be told apart.
    Never raises: what cannot be read is refused with a code of problem_codes_readings.csv.
    """
    written = plain(text)
    if not written or len(written) > LONGEST:
        return _refused("reading_missing" if not written else "reading_not_understood")
    if quantity == "observation":
        return _observed(written)
    state = STATES.get(words().get(written.lower(), ""))
    if state:
        return replace(state, quantity=quantity)
    if IS_DATE.match(written):
        return _refused("reading_is_a_date")
    coded = CODED.match(written)
    if coded and quantity in RESISTANCES:
        return _coded(coded, quantity)
    return _number(written, unit, quantity, decimal, fold_case)


def _refused(problem: str) -> Value:
    return Value("refused", problem=problem)


def _observed(written: str) -> Value:
    meaning = observation_words().get(written.lower(), "seen_text")
    return Value("qualitative", quantity="observation", flags=(meaning,))


def _coded(match: re.Match, quantity: str | None) -> Value:
    """Read the letter-for-point notation of IEC 60062: 4R7, 1k2, 2M2."""
    whole, letter, fraction = match.groups()
    factor = {"R": 1.0, "K": 1e3, "M": 1e6}[letter.upper()]
    number = float(f"{whole or 0}.{fraction}") * factor
    return _bounded(Value("parsed", number, "Ohm", quantity or "resistance"), quantity)


def _number(
    written: str, unit_text: str | None, quantity: str | None, decimal: str, fold_case: bool
) -> Value:
    comparator, flags, rest = _prefix(written)
    match = NUMBER.match(rest)
    if LETTER_FOR_DIGIT.search(rest):
        return _refused("reading_letter_for_digit")
    if not match:
        return _refused("reading_not_understood")
    tail = match["rest"].strip()
    if tail.endswith("+"):
        comparator, tail = ">", tail[:-1].strip()
    if tail.lower().startswith("ish"):
        flags, tail = (*flags, "approximate"), tail[3:].strip()
    if re.search(r"\d", tail.replace("cm2", "").replace("h2o", "").replace("H2O", "")):
        return _refused("reading_several_numbers")
    digits, number_flags = _digits(match["digits"], decimal)
    if digits is None:
        return _refused("reading_not_understood")
    number = -float(digits) if match["sign"] == "-" else float(digits)
    found = _unit(tail, unit_text, quantity, fold_case, number)
    if isinstance(found, str):
        return _refused(found)
    unit, unit_flags = found
    value = _in_base(number, unit, quantity)
    all_flags = (*flags, *number_flags, *unit_flags)
    outcome = "parsed_with_inference" if "unit_inferred" in all_flags else "parsed"
    base = "K" if quantity == "temperature difference" else unit.base
    return _bounded(
        Value(
            outcome, value, base, quantity or unit.quantity, comparator=comparator, flags=all_flags
        ),
        quantity,
    )


def _prefix(written: str) -> tuple[str, tuple[str, ...], str]:
    match = BEFORE.match(written)
    if not match:
        return "", (), written
    comparator = COMPARATORS.get(match[1].lower(), "")
    return comparator, () if comparator else ("approximate",), written[match.end() :]


def _digits(digits: str, decimal: str) -> tuple[str | None, tuple[str, ...]]:
    """Return the number as Python writes it; a mark that can only be the other one is flagged."""
    thousands = "," if decimal == "." else "."
    if re.fullmatch(rf"\d*(\{decimal}\d+)?", digits):
        return digits.replace(decimal, "."), ()
    if re.fullmatch(rf"\d{{1,3}}(\{thousands}\d{{3}})+(\{decimal}\d+)?", digits):
        return digits.replace(thousands, "").replace(decimal, "."), ("thousands",)
    if re.fullmatch(rf"\d+\{thousands}(\d{{1,2}}|\d{{4,}})", digits):
        return digits.replace(thousands, "."), ("decimal_comma",)
    return None, ()


def _unit(
    tail: str, unit_text: str | None, quantity: str | None, fold_case: bool, number: float
) -> tuple[Unit, tuple[str, ...]] | str:
    """Return the unit with its flags, or a problem code."""
    spelled = tail or plain(unit_text or "")
    known = quantities().get(quantity or "")
    if not spelled:
        return _usual_unit(known, number)
    if known and "temperature difference" in known.unit_quantities and spelled in ("K", "k"):
        return units_by_code()["K"], ()
    is_resistance = known is None or "resistance" in known.unit_quantities
    if is_resistance and re.fullmatch(r"m(\s*(ohms?|Ω))?", spelled):
        return "reading_milli_or_mega"
    if is_resistance and fold_case and re.fullmatch(r"[mM](\s*(ohms?|OHMS?|Ω))?", spelled):
        return "reading_milli_or_mega"
    unit = units().get(spelled) or units().get(spelled.rstrip("."))
    if unit is None:
        return "reading_not_understood"
    if known and known.unit_quantities and unit.quantity not in known.unit_quantities:
        return "reading_unit_of_other_quantity"
    return unit, ()


def _usual_unit(known: Quantity | None, number: float) -> tuple[Unit, tuple[str, ...]] | str:
    if number.is_integer() and int(number) in SERIAL_DAYS:
        return "reading_is_a_date"
    if known is None or not known.usual_ucum:
        return "reading_unit_missing"
    usual = units_by_code().get(known.usual_ucum) or Unit(known.usual_ucum, 1.0, 0.0, "1", "")
    return usual, ("unit_inferred",)


def _in_base(number: float, unit: Unit, quantity: str | None) -> float:
    if quantity == "temperature difference":
        return number / 1.8 if unit.ucum == "[degF]" else number
    if unit.ucum == "[degF]":
        return (number - 32) / 1.8
    return number * unit.factor + unit.offset


def _bounded(value: Value, quantity: str | None) -> Value:
    bounds = quantities().get(quantity or value.quantity or "")
    if bounds is None or bounds.low is None or value.value is None:
        return value
    if value.value < 0 <= bounds.low:
        return _refused("reading_negative")
    if not bounds.low <= value.value <= bounds.high:
        return _refused("reading_not_believable")
    return value


def format_value(value: Value) -> str:
    """Write a parsed value so that parse_value gives the same reading again.

    Raises ValueError for a refused value, which has no reading.
    """
    if value.problem:
        raise ValueError(f"a refused value has no reading: {value.problem}")
    if value.is_open:
        return "OL"
    if value.is_closed:
        return "closed"
    if value.value is None:
        return {"absent": "no voltage", "unstable": "erratic", "verdict_pass": "good"}.get(
            value.flags[0], "bad"
        )
    sign = "~" if "approximate" in value.flags else value.comparator
    return f"{sign}{value.value:.15f}".rstrip("0").rstrip(".") + f" {value.unit}"
