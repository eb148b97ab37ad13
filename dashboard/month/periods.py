"""Months as pairs of days."""

from datetime import date, timedelta


def month_days(month: str) -> tuple[date, date]:
    """Return the first and last day of a month written as 2026-03.

    Raises ValueError for a text that is not a month.
    """
    first = date.fromisoformat(f"{month}-01")
    following = (first + timedelta(days=32)).replace(day=1)
    return first, following - timedelta(days=1)


def months_before(month: str, count: int) -> tuple[date, date]:
    """Return the first and last day of the `count` months before a month."""
    first, _ = month_days(month)
    start = first
    for _ in range(count):
        start = (start - timedelta(days=1)).replace(day=1)
    return start, first - timedelta(days=1)


def month_before(month: str) -> str:
    """Return the month before a month, both written as 2026-03."""
    return f"{months_before(month, 1)[0]:%Y-%m}"
