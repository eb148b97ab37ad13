"""Which columns of invoice lines are quantity, price and amount: the two make the last."""

from itertools import permutations

from etl.mapping.column_values import number
from etl.mapping.fields import fields_of
from etl.mapping.header_words import KNOWN, likeness
from etl.mapping.proposal import Match

FIELDS = ("line_quantity", "line_price", "line_amount")
MULTIPLIES = 0.9  # share of the lines in which quantity times price is the amount
MOST_COLUMNS = 12  # of numbers; of more not every three are tried


def quantity_price_amount(numbers: dict[str, list[float | None]]) -> list[Match]:
    """Return the three columns, or nothing; their names decide which factor is the price."""
    threes = permutations(list(numbers)[:MOST_COLUMNS], 3)
    found = [((_products(numbers, three), _named_so(three), three)) for three in threes]
    share, _, best = max(found, default=(0.0, 0.0, ()))
    if share < MULTIPLIES:
        return []
    return [Match(header, field, KNOWN) for header, field in zip(best, FIELDS, strict=True)]


def signed_number(cell: str | None) -> float | None:
    """Return the number in a cell with its sign: a minus before or behind, or brackets."""
    text = (cell or "").strip()
    size = number(text)
    if size is None:
        return None
    return -size if text.startswith(("-", "(")) or text.endswith("-") else size


def _products(numbers: dict[str, list[float | None]], three: tuple[str, str, str]) -> float:
    """Return the share of the lines in which the first times the second is the third.

    Lines of one piece say nothing of which is which, and are left out.
    """
    rows = [
        (q, p, a)
        for q, p, a in zip(*(numbers[h] for h in three), strict=True)
        if q and p and a is not None and 1 not in (q, p)
    ]
    if len(rows) < 3:
        return 0.0
    hits: int = sum(abs(abs(q * p) - abs(a)) < 0.011 for q, p, a in rows)
    return hits / len(rows)


def _named_so(three: tuple[str, ...]) -> float:
    """Return how well three headers are called quantity, price and amount: their product alone
    does not say which of two factors is the price."""
    known = fields_of("jobs")
    return sum(likeness(h, known[f]) for h, f in zip(three, FIELDS, strict=False))
