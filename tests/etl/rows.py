"""Rows of the published version, for tests that ask the database itself."""

from contextlib import closing
from pathlib import Path

import duckdb
import pandas as pd

from etl.folder.publish import current


def rows(folder: Path, query: str) -> pd.DataFrame:
    """Return the rows of a query on the published version."""
    with closing(duckdb.connect(str(current(folder)), read_only=True)) as connection:
        return connection.execute(query).df()
