"""Tables → CSV text that no spreadsheet takes for formulas."""

import pandas as pd

from etl.csv_formula_guard import plain


def csv_text(frame: pd.DataFrame) -> str:
    """Return a table as CSV text; numbers stay numbers, text never starts a formula."""
    written = frame.rename(columns=plain)
    for column in written.columns:
        if not pd.api.types.is_numeric_dtype(written[column]):
            written[column] = written[column].map(_cell, na_action="ignore")
    return written.to_csv(index=False)


def _cell(value: object) -> object:
    return plain(value) if isinstance(value, str) else value
