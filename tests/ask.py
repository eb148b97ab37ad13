"""The API of measures and queries for tests that have a folder: each call takes its own snapshot."""

from pathlib import Path
from typing import Any

import pandas as pd

from dashboard import measures
from dashboard.database import query
from dashboard.database.snapshot import take


def measure(folder: Path, name: str, *filters: Any, **parameters: Any) -> pd.DataFrame:
    """Return a measure of the newest version in a folder."""
    return measures.measure(take(folder), name, *filters, **parameters)


def run(folder: Path, name: str, *filters: Any, **parameters: Any) -> pd.DataFrame:
    """Return the rows of one SQL file from the newest version in a folder."""
    return query.run(take(folder), name, *filters, **parameters)


def records(folder: Path, name: str, **parameters: Any) -> list[dict[str, Any]]:
    """Return the rows of one SQL file as dictionaries."""
    return query.records(take(folder), name, **parameters)
