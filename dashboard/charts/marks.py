"""Where the day of a change lies on an axis of months; no drawing library is needed for it."""

from calendar import monthrange
from collections.abc import Sequence
from datetime import date

Mark = tuple[date, str]  # the day and what was changed


def place_of(day: date, months: Sequence[str]) -> float | None:
    """Return where a day lies among months ("2026-03"): 0 is the middle of the first one.

    None for a day in none of them.
    """
    month = f"{day:%Y-%m}"
    if month not in months:
        return None
    share = (day.day - 1) / monthrange(day.year, day.month)[1]
    return list(months).index(month) - 0.5 + share
