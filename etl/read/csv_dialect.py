"""Which character splits the fields: the one that gives the first rows the same width."""

import csv
import io
from collections import Counter

DELIMITERS = ",;\t|"
SAMPLE_ROWS = 60


def sniff_delimiter(sample: str) -> str:
    """Return the delimiter that splits the first rows most evenly; a comma when none does.

    Quotes are heeded. `sample` is the start of the text; its last row may be cut and is not used.
    """
    scores: dict[str, tuple[float, int]] = {}
    for delimiter in DELIMITERS:
        widths = Counter(len(row) for row in _first_rows(sample, delimiter) if row)
        wide = [(rows, width) for width, rows in widths.items() if width > 1]
        if wide:
            rows, width = max(wide)
            scores[delimiter] = (rows / widths.total(), width)
    return max(scores, key=lambda delimiter: scores[delimiter], default=",")


def _first_rows(sample: str, delimiter: str) -> list[list[str]]:
    reader = csv.reader(io.StringIO(sample, newline=""), delimiter=delimiter)
    rows = []
    try:
        for row in reader:
            rows.append(row)
            if len(rows) > SAMPLE_ROWS:
                break
    except csv.Error:
        pass
    return rows[:-1] if len(rows) > 2 else rows
