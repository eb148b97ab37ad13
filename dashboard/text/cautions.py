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


def of_points(points: Iterable[object]) -> tuple[str, ...]:
    """Return the cautions of the hazards that reading these test points brings."""
    wanted = set(points)
    return of_hazards(
        row["hazards"] for row in sql.lookup("test_points") if row["test_point"] in wanted
    )


def dangers(kinds: Iterable[object], points: Iterable[object] = ()) -> tuple[str, ...]:
    """Return the cautions of level danger that a page naming these kinds and test points shows."""
    named = [name for kind in dict.fromkeys(kinds) for name in of_kind(str(kind))]
    shown = dict.fromkeys((*named, *of_points(points)))
    return tuple(name for name in shown if cautions()[name][0] == "danger")
