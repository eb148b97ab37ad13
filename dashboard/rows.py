"""The rows of a table, each with the table's columns as attributes."""

from collections.abc import Iterator
from typing import Any, TypeAlias

import pandas as pd

Row: TypeAlias = Any  # type checkers cannot know the columns of a table
Cells: TypeAlias = list[Any]  # of one column: the types of pandas know no None among text


def each_row(table: pd.DataFrame) -> Iterator[Row]:
    """Yield the rows in the table's order; `Index` is the row's label."""
    return iter(table.itertuples())
