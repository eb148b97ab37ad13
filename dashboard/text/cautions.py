"""The cautions of the trade by id: level and text, the same on page, card and report."""

from collections.abc import Iterable
from functools import cache

import sql


@cache
def cautions() -> dict[str, tuple[str, str]]:
    """Return each caution's level (danger, warning, note) and text by its id."""
    return {row["caution"]: (row["level"], row["text"]) for row in sql.lookup("cautions")}


def of_kind(kind: str) -> tuple[str, ...]:
    """Return the cautions that every page about this kind of appliance shows first."""
    named = {row["kind"]: row["cautions"] for row in sql.lookup("kinds")}.get(kind, "")
    return tuple(name for name in named.split("|") if name)


def of_hazards(cells: Iterable[object]) -> tuple[str, ...]:
    """Return the cautions that follow from hazards, written as "live|hot" and the like."""
    named = [h for cell in cells if isinstance(cell, str) for h in cell.split("|")]
    return tuple(name for name in dict.fromkeys(named) if name in cautions())
