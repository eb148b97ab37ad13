"""Tables → CSV text that no spreadsheet takes for formulas."""

import pandas as pd

FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n")


def csv_text(frame: pd.DataFrame) -> str:
    """Return a table as CSV text; numbers stay numbers, text never starts a formula."""
    plain = frame.copy()
    for column in plain.columns:
        if not pd.api.types.is_numeric_dtype(plain[column]):
            plain[column] = plain[column].map(_plain, na_action="ignore")
    return plain.to_csv(index=False)


def _plain(value: object) -> object:
    return f"'{value}" if isinstance(value, str) and value.startswith(FORMULA_STARTS) else value
