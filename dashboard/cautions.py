"""The cautions of the trade by id: level and text, the same on page, card and report."""

import csv
from functools import cache
from importlib.resources import files


@cache
def cautions() -> dict[str, tuple[str, str]]:
    """Return each caution's level (danger, warning, note) and text by its id."""
    text = (files("sql") / "lookups" / "cautions.csv").read_text(encoding="utf-8")
    return {
        row["caution"]: (row["level"], row["text"]) for row in csv.DictReader(text.splitlines())
    }
