"""A note → fragments of lexemes: numbers with their units, words, and marks."""

import re
from dataclasses import dataclass
from functools import cache

from etl.readings.lookups import units
from etl.readings.normalise import plain

NOT_IN_NOTES = frozenset(("inches", "min", "mins"))  # lengths and times of work, not readings
NEVER_AFTER_A_BLANK = frozenset("acrwm")  # `2 a day` is no current
MORE_UNITS = ("m", "mΩ", "mohm", "mohms", "°", "deg", "degrees")
DURATION = r"(?:s|sec|secs|seconds|min|mins|minutes|h|hr|hrs|hours?|days?|weeks?|years?|yrs?)"
CODED = re.compile(r"[RrkKMu][0-9]+$")
FIRST_OF_LIST = re.compile(r"\s*\(?1[.)]\s")
LIST_NUMBER = re.compile(r"(?:^\s*|\s)\(?\d{1,2}[.)]\s+(?=[^\W\d])")
DIGITS = r"(?:\d+(?:[.,]\d+)*|[.,]\d+)"


@dataclass(frozen=True)
class Lexeme:
    """A piece of a fragment; of a number, `unit` is the text of its unit."""

    kind: str  # number, list, word, slash (with blanks around it), mark, duration, other
    text: str
    unit: str = ""

    @property
    def key(self) -> str:
        return self.text.lower()

    @property
    def is_coded(self) -> bool:
        """Say whether a letter stands for the point, as in 4R7."""
        return self.kind == "number" and CODED.search(self.text) is not None


def _unit_pattern() -> str:
    spelled = [u for u in units() if u not in NOT_IN_NOTES] + list(MORE_UNITS)
    spelled.sort(key=lambda spelling: (-len(spelling), spelling))
    exact = [re.escape(u) for u in spelled if len(u) == 1]
    loose = [f"(?i:{re.escape(u)})" for u in spelled if len(u) > 1]
    apart = [re.escape(u) for u in spelled if len(u) == 1 and u not in NEVER_AFTER_A_BLANK]
    end = r"(?!-?\w)"  # `7.2 C-S`: C is a terminal, not Celsius
    return rf"(?:\s?(?:{'|'.join(loose)})|(?:{'|'.join(exact)})|\s(?:{'|'.join(apart)})){end}"


@cache
def _pattern() -> re.Pattern[str]:
    unit = _unit_pattern()
    end = r"(?!\w)"
    return re.compile(
        rf"""
        (?P<separator>;|,(?=\s|$)|\.+(?=\s|$))
        |(?P<display>(?<![\w.])(?:[O0]\.?L|[O0]\sL){end}(?:\.(?=\W|$))?|∞)
        |(?P<price>[$€£\#]\s?{DIGITS})
        |(?P<duration>(?<![\w.]){DIGITS}\s?{DURATION}{end})
        |(?P<list>(?<![\w.])[-+]?{DIGITS}(?:[-/+]-?{DIGITS})+(?P<list_unit>{unit})?{end})
        |(?P<number>(?<![\w.])(?:[<>~]\s?)?[-+]?
            (?:\d*[RrkKMu]\d+{end}
              |(?:[lIO](?=\d*[.,]\d))?{DIGITS}(?:[.,]?[OolI](?=[\d\s.,]|$)\d*)?(?:[eE][-+]?\d\d?(?!\w))?)
            (?:ish)?(?P<unit>{unit})?\+?{end})
        |(?P<word>[^\W\d_]\w*|\d\w+)
        |(?P<slash>(?<=\s)/(?=\s))
        |(?P<mark>[@=:()/?]|(?<=\s)-(?=\s))
        |(?P<other>\d+|[^\s\w"'.,-])
        """,
        re.VERBOSE,
    )


def without_list_numbers(text: str) -> str:
    """Return a list `1) … 2) …` with a mark in place of its numbers; other texts as they are."""
    if not FIRST_OF_LIST.match(text):
        return text
    return LIST_NUMBER.sub(lambda number: "\n" if number[0].startswith("\n") else "; ", text)


def fragments(text: str) -> list[list[Lexeme]]:
    """Split a note at `;`, `, `, `. ` and line ends into fragments of lexemes."""
    found: list[list[Lexeme]] = []
    for line in text.splitlines():
        found.append([])
        for match in _pattern().finditer(plain(line)):
            kind = match.lastgroup
            if kind == "separator":
                found.append([])
            else:
                found[-1].append(_lexeme(match))
                if match["display"] and match[0].endswith("."):
                    found.append([])
    return [fragment for fragment in found if fragment]


def phrase_key(phrase: str) -> tuple[str, ...]:
    """Return the lower-case lexemes of a phrase, as they would stand in a note."""
    return tuple(lexeme.key for fragment in fragments(phrase) for lexeme in fragment)


def _lexeme(match: re.Match[str]) -> Lexeme:
    names = ("display", "price", "duration", "list", "number", "word", "slash", "mark", "other")
    kind = next(name for name in names if match[name] is not None)
    unit = (match["unit"] if kind == "number" else match["list_unit"]) or ""
    shown = {"display": "word", "price": "other"}.get(kind, kind)
    text = match[0].rstrip(".") if match["display"] else match[0]
    return Lexeme(shown, text.strip(), unit.strip())
