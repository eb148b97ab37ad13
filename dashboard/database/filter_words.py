"""The common filters in words, for a file, a printed sheet or a page."""

from dashboard.database.labels import Labels
from dashboard.filters import Filters
from dashboard.text.format import day, listed

NAMES = ("branch", "technician", "appliance_kind", "symptom")


def filter_words(filters: Filters, labels: Labels) -> str:
    """Write what the filters leave: "closed from Mar 1, 2026; branch Mill Lane"; '' for all."""
    parts = []
    if filters.from_date:
        parts.append(f"closed from {day(filters.from_date)}")
    if filters.to_date:
        parts.append(f"closed up to {day(filters.to_date)}")
    titles = {"appliance_kind": "appliance", "symptom": "complaint"}
    for name in NAMES:
        if values := getattr(filters, name):
            words = listed([labels.of(name, value) for value in values], "or")
            parts.append(f"{titles.get(name, name)} {words}")
    return "; ".join(parts)
