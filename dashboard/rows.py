"""The rows of a table, each with the table's columns as attributes."""

from collections import namedtuple
from collections.abc import Iterator
from functools import cache
from typing import Any, TypeAlias

import pandas as pd

Row: TypeAlias = Any  # type checkers cannot know the columns of a table
Cells: TypeAlias = list[Any]  # of one column: the types of pandas know no None among text


def each_row(table: pd.DataFrame) -> Iterator[Row]:
    """Yield the rows in the table's order; `Index` is the row's label.

    The rows of `itertuples`, which makes a new type for each table and takes three times as long.
    """
    row = _row_type(tuple(map(str, table.columns)))
    columns = [column.tolist() for _, column in table.items()]
    return map(row._make, zip(table.index, *columns, strict=True))


@cache
def _row_type(columns: tuple[str, ...]) -> Any:
    return namedtuple("_Row", ("Index", *columns), rename=True)
