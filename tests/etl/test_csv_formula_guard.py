"""No cell of an export is a formula, whatever sign the spreadsheet splits lines at (CWE-1236)."""

import csv
import io

import pandas as pd
import pyarrow as pa
import pytest

from dashboard.text.csv_export import csv_text
from etl.csv_formula_guard import plain
from etl.raw.clean_text import trimmed

CELLS = (
    "=1+1", "a;=1+1", "a;+cmd|' /C calc'!A0", "a\t@SUM(A1)", "a|=1", ";=1", "a;＝1+1", "x;-2+3;=4",
    'say "hi";=1', "a;-5", "-5", "PN1 x 2; PN2 x 1", "a;;=b", "\n=1",
)  # fmt: skip
SIGNS = ("=", "+", "-", "@", "＝", "＋", "－", "＠")


@pytest.mark.parametrize("cell", CELLS)
@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
def test_no_cell_is_a_formula_in_any_locale(cell: str, delimiter: str):
    text = csv_text(pd.DataFrame({"name": [cell], cell: ["x"], "n": [-1.5]}))
    for line in csv.reader(io.StringIO(text), delimiter=delimiter):
        for found in line:
            is_number = not set(found) - set('-+0123456789.,n"ax')
            assert not found.startswith(SIGNS) or is_number, (line, text)


@pytest.mark.parametrize("cell", ["=1+1", "a;=1+1", "a|@x", "PN1 x 2; PN2 x 1", "a;-5", "it's;ok"])
def test_a_cell_that_comes_back_is_what_it_was(cell: str):
    assert trimmed(pa.array([plain(cell)])).to_pylist() == [cell]
