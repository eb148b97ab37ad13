"""Texts are made fit to keep cell by cell, however a column is held."""

import re
import unicodedata

import pyarrow as pa
from hypothesis import given, settings
from hypothesis import strategies as st

from etl.raw.clean_text import by_distinct, on_one_line, trimmed, without_contact

CELLS = st.lists(
    st.none() | st.text(st.sampled_from("a9'=@ -\t\n\x7f\x85\u2028\u200e\u202eΩé\u00a0\u3000"), max_size=6)
)  # fmt: skip
TURNS = "\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"


def one_line(text: str) -> str | None:
    """Clean one text by Unicode's own categories (Cc, Zl, Zp), without pyarrow."""
    kept = "".join("\n" if unicodedata.category(c) in ("Cc", "Zl", "Zp") else c for c in text)
    kept = re.sub("\n+", " ", kept).translate(dict.fromkeys(map(ord, TURNS)))
    return re.sub("^'(?=[=+@-])", "", kept.strip()) or None


@settings(deadline=None, derandomize=True)
@given(cells=CELLS, split=st.integers(0, 5))
def test_every_way_of_holding_a_column_gives_the_same_clean_cells(cells, split):
    plain = pa.chunked_array([cells[:split], cells[split:]], pa.string())
    wanted = [None if cell is None else one_line(cell) for cell in cells]
    assert by_distinct(plain, on_one_line).to_pylist() == wanted
    assert by_distinct(plain.dictionary_encode(), on_one_line).to_pylist() == wanted


def test_a_column_without_a_row_stays_one():
    for column in (pa.chunked_array([], pa.string()), pa.chunked_array([[]], pa.string())):
        assert by_distinct(column, on_one_line).to_pylist() == []
        assert by_distinct(column, trimmed).type == pa.string()


def test_line_ends_inside_a_note_are_kept():
    assert trimmed(pa.array([" a\nb ", "\n"])).to_pylist() == ["a\nb", None]


def test_a_telephone_number_and_a_mail_address_are_taken_out():
    """555-01xx numbers and example.org are reserved for fiction (NANPA; RFC 2606, section 3)."""
    texts = pa.array(["no heat, call 212 555-0134", "jo.c@example.org says OL", "9.4 ohm"])
    assert without_contact(texts).to_pylist() == ["no heat, call …", "… says OL", "9.4 ohm"]
