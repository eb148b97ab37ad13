"""The cautions of the trade by id: level and text, the same on page, card and report."""

from functools import cache

import sql


@cache
def cautions() -> dict[str, tuple[str, str]]:
    """Return each caution's level (danger, warning, note) and text by its id."""
    return {row["caution"]: (row["level"], row["text"]) for row in sql.lookup("cautions")}
