"""Readings in the unit in which the shop reads them."""

from collections.abc import Sequence
from typing import Any

from dashboard.text.format import as_shown


def shown(rows: Any, ucum: str | None, names: Sequence[str]) -> Any:
    """Return a table or one row of it with these columns as they are shown; missing ones stay."""
    changed = rows.copy()
    for name in names:
        if name in changed:
            changed[name] = as_shown(changed[name], ucum)
    return changed
