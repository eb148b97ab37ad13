"""Hours or minutes: what the name of a column of times says."""

import re
from collections.abc import Iterable

from etl.mapping.fields import folded

HOURS = {"h", "hr", "hrs", "hour", "hours", "std", "stunde", "stunden", "heure", "heures"}
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
