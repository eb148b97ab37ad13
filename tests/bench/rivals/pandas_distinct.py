"""The same load in pandas, but each distinct text is understood once.

python -m tests.bench.rivals.pandas_distinct FOLDER OUT, as pandas_notebook.
"""

import sys
from collections.abc import Callable
from contextlib import ExitStack
from pathlib import Path
from typing import Any
from unittest import mock

import pandas as pd

from tests.bench.rivals import pandas_columns, pandas_notebook

ONE_COLUMN = ("folded", "times", "money", "minutes", "flags")


def once_each(understand: Callable[..., Any]) -> Callable[..., Any]:
    """Return the function on columns of text that reads each distinct row of them once."""

    def understood(*columns: Any) -> Any:
        texts = [column for column in columns if isinstance(column, pd.Series)]
        others = columns[len(texts) :]
        place = pd.Series(0, index=texts[0].index)
        for column in texts:
            codes, known = pd.factorize(column, use_na_sentinel=False)
            place = place * len(known) + codes
        codes, _ = pd.factorize(place)
        first = pd.Series(codes).drop_duplicates().index
        distinct = [column.iloc[first].reset_index(drop=True) for column in texts]
        meaning = understand(*distinct, *others)
        return meaning.iloc[codes].set_axis(texts[0].index)

    return understood


def main(folder: Path, out: Path) -> None:
    """Read the files and write what pandas_notebook writes."""
    with ExitStack() as changed:
        for name in (*ONE_COLUMN, "measured"):
            distinct = once_each(getattr(pandas_columns, name))
            for module in (pandas_columns, pandas_notebook):
                changed.enter_context(mock.patch.object(module, name, distinct))
        pandas_notebook.main(folder, out)


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]))
