"""Which of the first rows is the header: below titles, sometimes over two rows (merged cells)."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median
from typing import TypeGuard

LOOKED_AT = 30  # rows
WIDE_ENOUGH = 0.6  # of the usual number of filled cells: a title row has fewer
NAMES = 0.7  # share of a header's cells that are names, neither numbers nor dates
NOT_A_NAME = re.compile(r"[\s$€£(+-]*\d[\d\s.,:/'’-]*[\s%$€£)-]*|\d{4}-\d\d-\d\d.*")
Cells = Sequence[str | None]


@dataclass(frozen=True)
class HeaderRow:
    """The place of the header among the first rows, how many rows it takes, and its names."""

    place: int
    rows: int
    names: list[str]


def find_header(first: Sequence[Cells], given: int | None = None) -> HeaderRow | None:
    """Return the header: the first row of names that is nearly as wide as the table.

    Without such a row, the first with two cells; None when no row has two. `given` is the place of
    the header if it is known; None when that row is empty.
    """
    if given is not None:
        is_there = given < len(first) and any(map(_is_filled, first[given]))
        return HeaderRow(given, 1, [cell or "" for cell in first[given]]) if is_there else None
    filled = [sum(map(_is_filled, row)) for row in first]
    wide = [count for count in filled if count > 1]
    if not wide:
        return None
    usual = median(wide)
    place = next(
        (
            i
            for i, row in enumerate(first)
            if filled[i] > 1 and filled[i] >= WIDE_ENOUGH * usual and _are_names(row)
        ),
        next(i for i, count in enumerate(filled) if count > 1),
    )
    if place + 1 < len(first) and _continues(first[place], first[place + 1]):
        return HeaderRow(place, 2, _joined(first[place], first[place + 1]))
    if place and _continues(first[place - 1], first[place]):  # names of groups: few cells
        return HeaderRow(place - 1, 2, _joined(first[place - 1], first[place]))
    return HeaderRow(place, 1, [cell or "" for cell in first[place]])


def _is_filled(cell: str | None) -> TypeGuard[str]:
    return cell is not None and bool(cell.strip())


def _are_names(row: Cells) -> bool:
    cells = [cell for cell in row if _is_filled(cell)]
    return sum(not NOT_A_NAME.fullmatch(cell.strip()) for cell in cells) >= NAMES * len(cells)


def _continues(upper: Cells, lower: Cells) -> bool:
    """Return True if the lower row only names what groups of the upper row hold.

    A group's name is in its first column alone, the cells to its right are empty in the upper row.
    """
    below = {i for i, cell in enumerate(lower) if _is_filled(cell)}
    above = {i for i, cell in enumerate(upper) if _is_filled(cell)}
    if len(above) < 2 or len(below) < 2 or not _are_names(lower) or not below - above:
        return False
    return all(i not in above or (i + 1 not in above and i + 1 in below) for i in below)


def _joined(upper: Cells, lower: Cells) -> list[str]:
    """Return "Charges Labor" for a name under a group, the upper name where nothing is below."""
    names: list[str] = []
    group = ""
    for i in range(max(len(upper), len(lower))):
        top = upper[i] if i < len(upper) else None
        sub = lower[i] if i < len(lower) else None
        group = top if _is_filled(top) else group
        if _is_filled(sub):
            names.append(f"{group.strip()} {sub.strip()}".strip())
        else:
            names.append(top or "")
    return names
