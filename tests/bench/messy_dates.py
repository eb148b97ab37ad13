"""Days and hours in the four forms that are understood without a declared order of day and month."""

from datetime import date, timedelta
from functools import cache

import numpy as np
import pyarrow as pa
import pyarrow.compute as pc

FIRST_DAY = date(2020, 1, 1)
DAYS = 2_130  # to October 2025, so that the last further visits are in the past as well


def date_texts(rng: np.random.Generator, days: np.ndarray) -> pa.Array:
    """Return dates as texts; a day is counted from FIRST_DAY."""
    return _dates().take(pa.array(days * 4 + rng.integers(0, 4, len(days))))


def clock_texts(rng: np.random.Generator, days: np.ndarray) -> pa.Array:
    """Return dates with a time of day between 8 and 18 o'clock."""
    clocks = _clocks().take(pa.array(rng.integers(0, len(_clocks()), len(days))))
    return pc.binary_join_element_wise(date_texts(rng, days), clocks, " ")


@cache
def _dates() -> pa.Array:
    days = [FIRST_DAY + timedelta(days=i) for i in range(DAYS + 30)]
    return pa.array([text for day in days for text in _forms(day)])


def _forms(day: date) -> tuple[str, ...]:
    return (
        day.isoformat(),
        f"{day:%Y}/{day.month}/{day.day}",
        f"{day.day} {day:%b} {day:%Y}",
        f"{day:%B} {day.day}, {day:%Y}",
    )


@cache
def _clocks() -> pa.Array:
    minutes = range(8 * 60, 18 * 60, 5)
    plain = [f"{m // 60}:{m % 60:02d}" for m in minutes]
    halves = [f"{(m // 60 - 1) % 12 + 1}:{m % 60:02d} {'am' if m < 720 else 'pm'}" for m in minutes]
    return pa.array(plain + halves)
