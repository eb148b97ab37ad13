"""What the values of a column look like: shares of dates, numbers, money, durations, names, …"""

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cache

import pyarrow as pa
import pyarrow.compute as pc

import sql
from etl.mapping.accepted_words import SOURCES
from etl.mapping.fields import folded

SAMPLE_ROWS = 3_000
NUMBER = r"[-+(]?\s*+[$€£]?\s*+[-+]?\d[\d .,'’]*+\s*+(?:[$€£]|eur|usd|gbp|chf)?\s*+\)?-?"
WEEKDAY = r"((mon|tue|wed|thu|fri|sat|sun)[a-z]{0,6}[,.]? +)?"
SHAPES = {
    "date": (
        WEEKDAY + r"\d{1,4}[-/.]\s?\d{1,2}[-/.]\s?\d{2,4}([ T]+\d{1,2}[:h.]\d{2}.*)?",
        WEEKDAY + r"\d{1,2}[-. ]+[a-zà-ü]{3,9}\.?[- ,]+\d{2,4}.*",
        WEEKDAY + r"[a-z]{3,9}\.? \d{1,2},? ('?\d{2}|\d{4}\b.*)",
    ),
    "day_number": (r"(3[6-9]|4\d|5[0-4])\d{3}([.]\d+)?",),  # of a workbook: 1998 to 2050
    "offset": (r"\d{4}-\d{1,2}-\d{1,2}[ T].*\d(Z|[-+]\d{2}:?\d{2})",),
    "moment": (r".*\d[ T]+\d{1,2}[:h]\d{2}(:\d{2})?.*",),
    "clock": (r"\d{1,2}[:h.]\d{2}(:\d{2})?\s*(am|pm|uhr)?",),
    "number": (NUMBER,),
    "money": (r".*[$€£].*", r"[-+(]?\d[\d .,'’]*[.,]\d{2}\)?-?"),
    "symbol": (r".*([$€£]|\beur|\busd|\bgbp).*",),
    "duration": (
        r"\d+([.,]\d+)?\s*(h|hrs?|hours?|std\.?|stunden|heures?|min\.?|mins?|minutes?|minuten)",
        r"\d+([.,]\d+)?\s*(m|mn|'|′)",
        r"\d{1,2}\s*(:|h|hrs?|std)\s*\d{1,2}\s*(m|min|mn)?",
    ),
    "whole": (r"\d{1,9}",),
    "small": (r"\d{1,2}",),
    "year": (r"(19[3-9]|20[0-4])\d",),
    "phone": (r"(?=(?:\D*\d){7})\+?[\d ()./-]{7,}(\s*(x|ext\.?)\s*\d+)?",),
    "email": (r"[^\s@]++@[^\s@.]++\.[^\s@]++",),
    "address": (
        r"\d+[a-z]?[, ]+([a-zà-ü.'-]+ ?){1,5}(#\s*\w+)?",
        r"[a-zà-üß.' -]+(str(aße|asse|\.)|weg|allee|platz|gasse)\s*\d+\w?.*",
        r".*\b\d{5}\b [a-zà-ü].*",
    ),
    "code": (r"(?=.*\d)[a-z0-9][a-z0-9./_-]{0,24}",),
    "letters": (r"[^\d]*[a-zà-üß][^\d]*",),
    "boolean": (r"y|n|yes|no|true|false|ja|nein|j|oui|non|o|x|0|1",),
    "reading": (
        r"[<>~]?\s*-?\d+([.,]\d+)?\s*[a-zΩµ°%\"]*.{0,6}",
        r"o\.?l\.?|open|inf|∞|good|bad",
    ),
    "currency": (r"usd|eur|gbp|cad|chf|aud",),
    "json": (r"[\[{].*",),
    "percent": (r"\d{1,2}([.,]\d{1,4})?\s*%?",),
    "postcode": (r"[a-z]{1,2}\d[a-z\d]? ?\d[a-z]{2}",),
    "line_unit": (
        r"h|hrs?|hours?|std\.?|stunden?|heures?|mins?\.?|minutes?|minuten|ea|each|pcs?\.?|pce|pr",
        r"units?|st|stk\.?|stück|u|un|unités?|psch\.?|pauschale?|ft|forfait|km|mi|miles?|set|lot",
        r"m|l|kg|box|pk|job",
    ),
    "uom": (
        r"ohms?|Ω|kΩ|k|v|vac|vdc|volts?|a|amps?|µf|uf|mfd|°?f|°?c|w|watts?|psi",
        r"in\.? ?wc|\"wc|l/min|hz",
    ),
}
PATTERNS = {name: re.compile("|".join(texts), re.IGNORECASE) for name, texts in SHAPES.items()}


@dataclass(frozen=True)
class ColumnValues:
    """The non-empty values of one column: how many, how varied, and which shapes they have."""

    count: int
    filled: float
    distinct: int
    words: float  # in the mean
    median: float | None  # of the numbers
    shares: dict[str, float] = field(default_factory=dict)

    @property
    def uniqueness(self) -> float:
        """Distinct values per value, 0 to 1."""
        return self.distinct / self.count if self.count else 0.0


def column_values(column: pa.ChunkedArray) -> ColumnValues:
    """Return what a column's first rows look like; no cell is kept."""
    head = column.slice(0, SAMPLE_ROWS)
    if pa.types.is_dictionary(head.type):
        head = head.cast(pa.string())
    counted = pc.value_counts(head.combine_chunks() if head.num_chunks else head)
    texts = {(v["values"] or "").strip(): v["counts"] for v in counted.to_pylist()}
    texts.pop("", None)
    count = sum(texts.values())
    if not count:
        return ColumnValues(0, 0.0, 0, 0.0, None)
    shares = {
        name: sum(n for text, n in texts.items() if pattern.fullmatch(text)) / count
        for name, pattern in PATTERNS.items()
    } | {
        name: sum(n for text, n in texts.items() if folded(text) in words) / count
        for name, words in _vocabularies().items()
    }
    numbers = sorted(n for text, c in texts.items() for n in [number(text)] * c if n is not None)
    return ColumnValues(
        count,
        count / max(len(head), 1),
        len(texts),
        sum(len(text.split()) * n for text, n in texts.items()) / count,
        numbers[len(numbers) // 2] if numbers else None,
        shares,
    )


def number(text: str) -> float | None:
    """Return a number written in either way, for its size alone; None where there is none."""
    if not PATTERNS["number"].fullmatch(text):
        return None
    digits = re.sub(r"[^\d.,]", "", text)
    last = max(digits.rfind("."), digits.rfind(","))
    after = len(digits) - last - 1
    if last >= 0 and (after in (1, 2) or after > 3 or digits[:last] == "0"):
        digits = re.sub(r"[.,]", "", digits[:last]) + "." + digits[last + 1 :]
    else:
        digits = re.sub(r"[.,]", "", digits) if last >= 0 else digits
    return float(digits) if digits.strip(".") else None


@cache
def _vocabularies() -> dict[str, frozenset[str]]:
    """Return the known words of each vocabulary, folded, under its field's name."""
    return {
        name: frozenset(
            folded(word)
            for row in sql.lookup(lookup)
            for word in _spellings(row, row[column])
            if len(word) > 1
        )
        for name, (lookup, column) in SOURCES.items()
    }


def _spellings(row: dict[str, str], id_: str) -> Iterable[str]:
    return (id_, row.get("label") or "", *(row.get("synonyms") or "").split("|"))
