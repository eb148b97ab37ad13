"""Hours or minutes: what the name of a column of times says, and for a proposal its values."""

import re
from collections.abc import Iterable

import pyarrow as pa

from etl.mapping.fields import folded

HOURS = {"h", "hr", "hrs", "hour", "hours", "std", "stunde", "stunden", "heure", "heures"}
BARE = re.compile(r"\d{1,4}([.,]\d{1,3})?")
SIGNED = re.compile(r"-?\d{1,4}([.,]\d{1,3})?")
MOST_HOURS, FEWEST_MINUTES = 14, 20  # of the usual entry: a long day, a short call
ENOUGH = 5  # numbers, below which their sizes say nothing
MINUTES = {"min", "mins", "minute", "minutes", "minuten", "mn"}


def time_unit(headers: Iterable[str]) -> str:
    """Return "hours" or "minutes" where the headers of a field say so, "" where they do not.

    Headers that name both, or different ones, say nothing.
    """
    said = {_unit_of(header) for header in headers}
    return said.pop() if len(said) == 1 else ""


def _unit_of(header: str) -> str:
    words = folded(re.sub(r"(?<=[a-z])(?=[A-Z])", " ", header)).split()
    is_hours = any(word in HOURS or word.endswith("stunden") for word in words)
    is_minutes = any(word in MINUTES or word.endswith("minuten") for word in words)
    if is_hours == is_minutes:
        return ""
    return "hours" if is_hours else "minutes"


def unit_of_values(columns: Iterable[pa.ChunkedArray]) -> str | None:
    """Return "hours" or "minutes" where bare numbers leave no choice, "" where every cell has its
    unit, None where it has to be asked.

    Quarters of an hour (0.75, 1.5) that stay below a long day are hours: no one writes a quarter of
    a minute. Whole numbers that are mostly larger than any day are minutes. Only ever a proposal.
    """
    texts = [t.strip() for c in columns for t in c.cast(pa.string()).to_pylist() if t and t.strip()]
    bare = sorted(float(t.replace(",", ".")) for t in texts if BARE.fullmatch(t))
    bare = [number for number in bare if number > 0]
    if not bare:
        return ""
    if len(bare) < ENOUGH:
        return None
    fractions = sum(number % 1 > 0 for number in bare)
    if fractions >= 0.2 * len(bare) and bare[-1] <= MOST_HOURS:
        return "hours"
    is_long = bare[len(bare) // 2] >= FEWEST_MINUTES and bare[len(bare) // 4] > MOST_HOURS
    return "minutes" if is_long and not fractions else None


def labor_quantity_unit(header: str, cells: Iterable[str | None]) -> str | None:
    """Return "hours" or "minutes" where the quantity of labor lines is their time, "" where it
    counts pieces, None where it has to be asked. Only ever a proposal.
    """
    texts = [cell.strip() for cell in cells if cell and cell.strip()]
    bare = {abs(float(t.replace(",", "."))) for t in texts if SIGNED.fullmatch(t)}
    if not bare or bare <= {0.0, 1.0}:
        return ""
    return time_unit([header]) or unit_of_values([pa.chunked_array([texts])]) or None
