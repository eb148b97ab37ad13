"""One written value → one reading, or the reason why not.

Nothing here knows a limit: a unit, a point or a sign is never chosen because the value then fits.
"""

import re
from dataclasses import dataclass, replace
from functools import cache, lru_cache

from etl.readings.lookups import Quantity, observation_words, quantities, units_by_code, words
from etl.readings.normalise import plain
from etl.readings.numbers import Written, is_date, is_date_number, read_number
from etl.readings.units import NO_UNIT, find_unit, in_base, usual_unit

LONGEST = 80
SMALLEST = 1e-15  # no meter of this trade resolves it
LARGEST = 1e15  # of a quantity with no bounds in quantities.csv


@dataclass(frozen=True)
class Value:
    """A parsed value: a number in the base unit, or a state, or an opinion, or a problem code.

    outcome: parsed, parsed_with_inference, qualitative (a state), verdict_only (an opinion) or
    refused. flags name every inference: unit_inferred, ac_inferred, dc_inferred, approximate,
    thousands, other_decimal_mark, perhaps_a_date.
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

    @property
    def number(self) -> float:
        """Return the number of a value that has one: neither a state, an opinion nor refused."""
        assert self.value is not None, self.outcome
        return self.value


STATES = {
    "open": Value("qualitative", is_open=True),
    "closed": Value("qualitative", is_closed=True),
    "absent": Value("qualitative", flags=("absent",)),
    "unstable": Value("qualitative", flags=("unstable",)),
    "verdict_pass": Value("verdict_only", flags=("verdict_pass",)),
    "verdict_fail": Value("verdict_only", flags=("verdict_fail",)),
    "ambiguous": Value("refused", problem="reading_ambiguous"),
    "unclear": Value("refused", problem="reading_second_point_missing"),
    "missing": Value("refused", problem="reading_missing"),
}
RESISTANCES = frozenset(("resistance", "continuity", "insulation resistance"))
HAS_STATES = RESISTANCES | {"capacitance"}  # a meter shows OL there; on volts it has no verdict
CODED = re.compile(r"([0-9]*)([RrkKMuμ])([0-9]+)\s*(?:[oO][hH][mM][sS]?|Ω|F)?")
CODED_UNITS = {"R": "Ohm", "r": "Ohm", "k": "kOhm", "K": "kOhm", "M": "MOhm", "u": "uF", "μ": "uF"}
STATE_UNIT = re.compile(r"(?<!\s)\s*+(?:[kKM]?Ω|[kKM]?ohms?)$", re.IGNORECASE)
SECOND_SECTION = re.compile(r"\+\s?[0-9.,]+\s?(?:uf|μf|mfd|mf)", re.IGNORECASE)
SECOND_NUMBER = re.compile(r"(?:^|[^a-zA-Z0-9])[0-9]")
ALTERNATING = {"AC voltage": "ac_inferred", "DC voltage": "dc_inferred"}


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
    says that the source writes all in one case, so that milli and mega cannot be distinguished.
    Values are in the base unit of sql/lookups/units.csv. An empty cell is refused as missing.
    Never raises on a text: what cannot be read is refused with a code of
    problem_codes_readings.csv. Raises ValueError if `decimal` is neither `.` nor `,`.
    """
    if decimal not in (".", ","):
        raise ValueError(f"decimal is {decimal!r}: declare '.' or ',' in the mapping")
    if len(text) > LONGEST:
        return refused("reading_not_understood" if text.strip() else "reading_missing")
    return _parse(text, (unit or "")[:LONGEST], quantity, decimal, fold_case)


def refused(problem: str) -> Value:
    """Return the value that has no reading, for one reason."""
    return Value("refused", problem=problem)


@lru_cache(maxsize=65536)
def _parse(text: str, unit_text: str, quantity: str | None, decimal: str, fold_case: bool) -> Value:
    written = plain(text)
    if not written:
        return refused("reading_missing")
    if quantity == "observation":
        meaning = observation_words().get(written.lower(), "seen_text")
        return Value("qualitative", quantity="observation", flags=(meaning,))
    state = _state(written, quantity)
    if state:
        return state
    if is_date(written):
        return refused("reading_is_a_date")
    known = quantities().get(quantity or "")
    coded = CODED.fullmatch(written)
    if coded:
        return _coded(coded, quantity, known)
    return _number(read_number(written, decimal), plain(unit_text), quantity, fold_case)


def _state(written: str, quantity: str | None) -> Value | None:
    """Read a word such as OL, also with the meter's unit after it: `OL MΩ`."""
    lower = written.lower()
    meaning = words().get(lower) or words().get(STATE_UNIT.sub("", lower))
    if not meaning:
        return None
    if meaning in ("open", "closed") and quantity and quantity not in HAS_STATES:
        return refused("reading_unit_of_other_quantity")
    if meaning == "absent" and quantity in HAS_STATES:
        return refused("reading_ambiguous")
    value = STATES[meaning]
    return value if value.problem else replace(value, quantity=quantity)


def _coded(match: re.Match[str], quantity: str | None, known: Quantity | None) -> Value:
    """Read the letter-for-point notation of IEC 60062: 4R7, 1k2, 2M2, 4u7."""
    whole, letter, fraction = match.groups()
    unit = units_by_code()[CODED_UNITS[letter]]
    if known and unit.quantity not in known.unit_quantities:
        return refused("reading_unit_of_other_quantity")
    number = float(f"{whole or 0}.{fraction}") * unit.factor
    return _bounded(Value("parsed", number, unit.base, quantity or unit.quantity))


def _number(written: Written, unit_text: str, quantity: str | None, fold_case: bool) -> Value:
    if written.problem:
        return refused(written.problem)
    known = quantities().get(quantity or "")
    in_cell = "" if written.tail.lower() in NO_UNIT else written.tail
    flags = written.flags
    if not in_cell and is_date_number(written.number):
        if not unit_text:
            return refused("reading_is_a_date")
        flags += ("perhaps_a_date",)
    spelled = in_cell or ("" if unit_text.lower() in NO_UNIT else unit_text)
    unit = find_unit(spelled, known, fold_case) if spelled else usual_unit(known)
    if isinstance(unit, str):
        return refused(_why(unit, in_cell, quantity))
    if not spelled:
        flags += ("unit_inferred",)
    if unit.quantity == "voltage" and quantity in ALTERNATING:
        flags += (ALTERNATING[quantity],)
    outcome = "parsed_with_inference" if "unit_inferred" in flags else "parsed"
    base = "K" if quantity == "temperature difference" else unit.base
    number = in_base(written.number, unit, quantity)
    measured = quantity or unit.quantity
    return _bounded(
        Value(outcome, number, base, measured, comparator=written.comparator, flags=flags)
    )


def _why(problem: str, tail: str, quantity: str | None) -> str:
    """Say more of a text that is no unit: `+5 mfd` is a nameplate, others are more numbers."""
    if problem != "reading_not_understood":
        return problem
    if quantity in (None, "capacitance") and SECOND_SECTION.fullmatch(tail):
        return "reading_nameplate_only"
    return "reading_several_numbers" if SECOND_NUMBER.search(tail) else problem


def _bounded(value: Value) -> Value:
    """Refuse what no part, sound or failed, can show; the bounds are no limits."""
    low, high = _bounds(value.quantity)
    number = value.number
    if 0 < abs(number) < SMALLEST:
        return refused("reading_not_believable")
    if number < 0 <= low:
        return refused("reading_negative")
    return value if low <= number <= high else refused("reading_not_believable")


@cache
def _bounds(quantity: str | None) -> tuple[float, float]:
    """Return the believable bounds; of `voltage`, the widest of AC and DC voltage."""
    exact = quantities().get(quantity or "")
    known = (
        [exact] if exact else [k for k in quantities().values() if quantity in k.unit_quantities]
    )
    bounded = [(k.low, k.high) for k in known if k.low is not None and k.high is not None]
    if not bounded:
        return -LARGEST, LARGEST
    return min(low for low, _ in bounded), max(high for _, high in bounded)
