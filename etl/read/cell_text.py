"""A typed cell → text: dates ISO 8601, whole numbers without ".0", durations in minutes."""

from datetime import date, datetime, time, timedelta
from decimal import Decimal

HALF_SECOND = timedelta(milliseconds=500)


def cell_text(cell: object) -> str | None:
    """Return a cell of a sheet as text; None for an empty one.

    A date-time at midnight is a date, seconds are whole: sheets count in days, and 10:20 is
    stored as a fraction that misses it by microseconds.
    """
    if cell is None or cell == "":
        return None
    if isinstance(cell, str):
        return cell
    if isinstance(cell, bool):
        return "true" if cell else "false"
    if isinstance(cell, (int, float)):
        return number_text(cell)
    if isinstance(cell, datetime):
        return _moment(cell)
    if isinstance(cell, time):
        return _moment(datetime.combine(date(2000, 1, 1), cell), is_time=True)
    if isinstance(cell, timedelta):
        return f"{number_text(round(cell.total_seconds()) / 60)} min"
    return cell.isoformat() if isinstance(cell, date) else str(cell)


def number_text(number: float) -> str:
    """Return a number in plain digits, to the 15 that a sheet keeps."""
    if number != number or number in (float("inf"), float("-inf")):
        return str(number)
    if number == int(number):
        return str(int(number))
    return format(Decimal(f"{number:.15g}"), "f")


def _moment(moment: datetime, is_time: bool = False) -> str:
    try:
        whole = (moment + HALF_SECOND).replace(microsecond=0)
    except OverflowError:
        whole = moment.replace(microsecond=0)
    if is_time:
        return f"{whole:%H:%M:%S}"
    return (whole.date() if whole.time() == time(0) else whole).isoformat()
