"""How a source writes dates and decimals, and its currency, as its own values say."""

import re
from collections.abc import Iterable

import pyarrow as pa
import pyarrow.compute as pc

NUMBERS_DATE = re.compile(
    r"^(?:[A-Za-z]{3,9}[,.]? +)?(\d{1,2})\s?[-/.]\s?(\d{1,2})\s?[-/.]\s?\d{2,4}\b"
)
YEAR_FIRST = re.compile(r"^\d{4}[/.]\d{1,2}[/.]\d{1,2}\b")
DECIMALS = re.compile(r"[.,](?=\d{1,2}\D*$)")
SIGNS = {"€": "EUR", "£": "GBP", "EUR": "EUR", "GBP": "GBP", "CHF": "CHF", "USD": "USD"}
THOUSANDS = re.compile(r"\d([.,])\d{3}(?!\d)")


def date_order(columns: Iterable[pa.ChunkedArray]) -> str:
    """Return MDY, DMY or YMD where the dates themselves leave no choice, "" where they do."""
    firsts, seconds, year_first = set(), set(), 0
    for text in _distinct(columns):
        if match := NUMBERS_DATE.match(text):
            firsts.add(int(match[1]))
            seconds.add(int(match[2]))
        year_first += bool(YEAR_FIRST.match(text))
    is_day_first, is_month_first = max(firsts, default=0) > 12, max(seconds, default=0) > 12
    if is_day_first != is_month_first:
        return "DMY" if is_day_first else "MDY"
    return "YMD" if year_first and not firsts else ""


def decimal_sign(columns: Iterable[pa.ChunkedArray]) -> str:
    """Return the sign before one or two last digits in most amounts, "." where there is none."""
    points = commas = 0
    for text in _distinct(columns):
        sign = DECIMALS.search(text)
        if sign:
            points += sign[0] == "."
            commas += sign[0] == ","
        elif (thousands := THOUSANDS.search(text)) and len(THOUSANDS.findall(text)) > 1:
            points += thousands[1] == ","
            commas += thousands[1] == "."
    return "," if commas > points else "."


def currency(columns: Iterable[pa.ChunkedArray]) -> str:
    """Return the ISO 4217 code of the one sign that amounts have; "" for none, several, or "$",
    which many countries use."""
    signs = {code for text in _distinct(columns) for sign, code in SIGNS.items() if sign in text}
    return signs.pop() if len(signs) == 1 else ""


def _distinct(columns: Iterable[pa.ChunkedArray]) -> Iterable[str]:
    for column in columns:
        for text in pc.unique(column.cast(pa.string())).to_pylist():
            if text:
                yield text.strip()
