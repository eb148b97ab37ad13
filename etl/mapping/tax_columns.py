"""Which columns are the amount without tax, the tax, and both: two of them make the third.

Tax is no revenue: where the arithmetic says that a total holds the tax, it is proposed as such.
"""

from collections.abc import Sequence
from dataclasses import replace
from itertools import permutations

from etl.mapping.assign import Seen
from etl.mapping.line_products import signed_number
from etl.mapping.proposal import Match

ADDS_UP = 0.9  # share of the taxed rows in which amount and tax make the total
FEWEST = 3  # taxed rows, below which a sum says nothing
MOST_PERCENT, MOST_RATES = 30, 4  # a rate of tax in percent, and how many a shop has
MOST_COLUMNS = 12
Numbers = dict[str, list[float | None]]
NAMES = {  # of a job, and of one of its lines
    "tax": ("charged", "charged_with_tax"),
    "line_tax": ("line_amount", "line_amount_with_tax"),
}


def with_tax_named(matches: Sequence[Match], seen: Seen) -> list[Match]:
    """Return the matches with the amounts before and after tax as the columns add up."""
    found = list(matches)
    for tax_field, (net_field, gross_field) in NAMES.items():
        tax = next((m for m in found if m.field == tax_field), None)
        if tax is None:
            continue
        numbers = _numbers(seen)
        if is_rate(numbers.get(tax.header, [])):
            found = [replace(m, field="tax_rate") if m is tax else m for m in found]
            continue
        pair = _pair(numbers, tax.header)
        parts = [m.header for m in found if m.field in ("parts_charged", "labour_charged")]
        if pair:
            found = _renamed(found, pair[0], net_field)
            found = _renamed(found, pair[1], gross_field)
        elif total := _sum_of(numbers, [*parts, tax.header], found, net_field):
            found = _renamed([m for m in found if m.field != net_field], total, gross_field)
    return found


def is_rate(column: Sequence[float | None]) -> bool:
    """Say whether numbers are a few rates of tax in percent, not amounts."""
    rates = {number for number in column if number}
    many = sum(number is not None for number in column) >= 2 * MOST_RATES
    return bool(rates) and len(rates) <= MOST_RATES and max(rates) <= MOST_PERCENT and many


def _renamed(matches: list[Match], header: str, field: str) -> list[Match]:
    """Give a field to a header, and to no other."""
    return [
        *(m for m in matches if m.header != header and m.field != field),
        Match(header, field, next((m.confidence for m in matches if m.header == header), 0.8)),
    ]


def _pair(numbers: Numbers, tax: str) -> tuple[str, str] | None:
    """Return the columns before and after tax: the first and the tax are the second."""
    others = [header for header in numbers if header != tax][:MOST_COLUMNS]
    sums = [
        (share, net, gross)
        for net, gross in permutations(others, 2)
        if (share := _adds_up(numbers, [net, tax], gross)) >= ADDS_UP
    ]
    return max(sums)[1:] if sums else None


def _sum_of(numbers: Numbers, parts: list[str], matches: Sequence[Match], field: str) -> str | None:
    """Return the total's column when labor, parts and tax together are the total."""
    total = next((m.header for m in matches if m.field == field), None)
    is_sum = len(parts) > 2 and total in numbers and _adds_up(numbers, parts, total) >= ADDS_UP
    return total if is_sum else None


def _adds_up(numbers: Numbers, terms: list[str], total: str | None) -> float:
    """Return the share of the taxed rows in which the terms make the total; the last is the tax."""
    columns = [numbers[header] for header in terms if header in numbers]
    if total not in numbers or len(columns) < len(terms):
        return 0.0
    rows = [
        row
        for row in zip(*columns, numbers[total], strict=True)
        if row[-2] and row[-1] and abs(row[-2]) <= abs(row[-1]) * MOST_PERCENT / 100
    ]
    if len(rows) < FEWEST:
        return 0.0
    hits: int = sum(abs(sum(n or 0 for n in row[:-1]) - row[-1]) < 0.011 for row in rows)
    return hits / len(rows)


def _numbers(seen: Seen) -> Numbers:
    """Return every column of numbers, cell by cell."""
    return {
        header: [signed_number(cell) for cell in seen.cells(header)]
        for header, values in seen.values.items()
        if values.count and values.shares["number"] > 0.5 and not values.shares["date"]
    }
