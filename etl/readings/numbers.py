"""A written number → a number, or the reason why it cannot be told which."""

import re
from dataclasses import dataclass

MONTH = r"(?:jan|feb|mar|apr|may|jun|jul|aug|sep|sept|oct|nov|dec)[a-z]*"
IS_DATE = re.compile(
    rf"[0-9]{{1,2}}[-/ .]{MONTH}(?:[-/ .,]+[0-9]{{2,4}})?"
    rf"|{MONTH}[-/ .][0-9]{{1,4}}(?:,? [0-9]{{4}})?"
    r"|[0-9]{4}-[0-9]{2}-[0-9]{2}(?:[T ].*)?"
    r"|[0-9]{1,2}([-/.])[0-9]{1,2}\1(?:[0-9]{4}|[0-9]{2})(?: .*)?",
    re.IGNORECASE,
)
SERIAL_DAYS = range(40179, 49675)  # spreadsheet day numbers of 2010-01-01 to 2035-12-31
LETTER_FOR_DIGIT = re.compile(
    r"[0-9][.,]?[OolI][0-9]|[0-9][.,]?[OolI](?=[\s.,]|$)|[0-9][.,][OolI]|^[lI][0-9]|^[Oo][.,][0-9]"
)
NUMBER = re.compile(
    r"(?P<sign>[-+]?)(?P<digits>[0-9.,]*[0-9])(?P<power>[eE][-+]?[0-9]{1,2}(?![0-9]))?(?P<tail>.*)"
)
BEFORE = re.compile(
    r"(<|>|less than|under|below|more than|over|above|~|approx\.?|about|abt|around|roughly)\s*",
    re.IGNORECASE,
)
COMPARATORS = {"<": "<", "less than": "<", "under": "<", "below": "<"} | dict.fromkeys(
    (">", "more than", "over", "above"), ">"
)
DIGITS = {
    decimal: (
        re.compile(rf"[0-9]*(?:{re.escape(decimal)}[0-9]+)?"),
        re.compile(rf"[1-9][0-9]{{0,2}}(?:{other}[0-9]{{3}})+(?:{re.escape(decimal)}[0-9]+)?"),
        re.compile(rf"(?:0|[0-9]*){other}[0-9]+"),
    )
    for decimal, other in ((".", ","), (",", r"\."))
}


@dataclass(frozen=True)
class Written:
    """A number taken apart: the number, `<` or `>`, the text after it, flags; or a problem code."""

    number: float = 0.0
    comparator: str = ""
    tail: str = ""
    flags: tuple[str, ...] = ()
    problem: str | None = None


def is_date(text: str) -> bool:
    """Say whether a spreadsheet made a date of the cell, as 10-Aug or 2026-08-10."""
    return IS_DATE.fullmatch(text) is not None


def is_date_number(number: float) -> bool:
    """Say whether a bare number can be a spreadsheet's day number of 2010 to 2035."""
    return number.is_integer() and int(number) in SERIAL_DAYS


def read_number(text: str, decimal: str) -> Written:
    """Take apart `<1.5 kohm` or `~9ish ohm`; what is no number has a problem code."""
    before = BEFORE.match(text)
    rest = text[before.end() :] if before else text
    if LETTER_FOR_DIGIT.search(rest):
        return Written(problem="reading_letter_for_digit")
    match = NUMBER.fullmatch(rest)
    if not match:
        return Written(problem="reading_not_understood")
    digits, flags = _digits(match["digits"], decimal)
    if digits is None:
        return Written(problem="reading_not_understood")
    comparator = COMPARATORS.get(before[1].lower(), "") if before else ""
    if before and not comparator:
        flags = ("approximate", *flags)
    comparator, tail, flags = _after(comparator, match["tail"].strip(), flags)
    number = float(f"{match['sign']}{digits}{match['power'] or ''}")
    return Written(number + 0.0, comparator, tail, flags)  # + 0.0: minus nought is nought


def _after(comparator: str, tail: str, flags: tuple[str, ...]) -> tuple[str, str, tuple[str, ...]]:
    """Read what may follow a number: `+` (or more) and `ish`."""
    if tail.endswith("+"):
        return ">", tail[:-1].strip(), flags
    if tail.lower().startswith("ish"):
        return comparator, tail[3:].strip(), ("approximate", *flags)
    return comparator, tail, flags


def _digits(digits: str, decimal: str) -> tuple[str | None, tuple[str, ...]]:
    """Return the number as Python writes it; a mark that can only be the other one is flagged."""
    other = "," if decimal == "." else "."
    plain_number, in_groups, with_other_mark = DIGITS[decimal]
    if plain_number.fullmatch(digits):
        return digits.replace(decimal, "."), ()
    if in_groups.fullmatch(digits):
        return digits.replace(other, "").replace(decimal, "."), ("thousands",)
    if with_other_mark.fullmatch(digits):
        return digits.replace(other, "."), ("other_decimal_mark",)
    return None, ()
