"""Tables show every text in full: widths by need, several lines where a page is too narrow."""

import pandas as pd
import pytest

from dashboard.ui.column_widths import LEAST_TEXT, MOST_WORD, ROOM, fitted, shared, text_width

SHORT, LONG = "Ann", "electronic control or relay board: not tested, fan motor: readings for it"
HEADS = {"who": {"label": "Technician"}, "said": {"label": "What the readings said"}}


def test_short_texts_take_one_line_and_a_width_of_their_own():
    config, height = fitted(pd.DataFrame({"who": [SHORT], "said": ["good"]}), HEADS)
    assert height is None
    assert config["who"]["width"] > text_width("Technician")
    assert config["said"]["label"] == "What the readings said"


def test_the_widest_text_of_any_row_decides():
    rows = pd.DataFrame({"said": ["good"] * 500 + [LONG]})
    config, height = fitted(rows, HEADS)
    assert config["said"]["width"] >= text_width(LONG)
    assert height is None


def test_texts_too_long_for_a_page_wrap_and_all_columns_fit():
    rows = pd.DataFrame({f"c{i}": [LONG] for i in range(4)} | {"jobs": [12]})
    config, height = fitted(rows, None)
    assert sum(each.get("width", 0) for each in config.values()) <= ROOM
    assert height > 64  # from there on, the table wraps
    lines = text_width(LONG) / (config["c0"]["width"] - 20)
    assert height >= 20 * lines


def test_numbers_and_days_are_left_to_the_table():
    rows = pd.DataFrame({"jobs": [1], "closed": [pd.Timestamp(2026, 3, 1)], "note": [SHORT]})
    config, _ = fitted(rows, None)
    assert "width" not in config["jobs"]
    assert "width" not in config["closed"]


def test_short_columns_keep_their_need_and_long_ones_share_the_rest():
    """Room 600 less 100, 110 and 110 is 280, for the 290 and 790 pixels that are missing."""
    words = dict.fromkeys("abc", 50)
    found = shared({"a": 100, "b": 400, "c": 900}, words, 600)
    part = 280 / (290 + 790)
    assert found == pytest.approx({"a": 100, "b": 110 + 290 * part, "c": 110 + 790 * part})
    assert sum(found.values()) == pytest.approx(600)
    assert shared({"a": 300, "b": 200}, words, 900) == {"a": 300, "b": 200}
    assert shared({"a": 500}, words, 10) == {"a": LEAST_TEXT}
    assert shared({"a": 500}, {"a": 180}, 10) == {"a": 180}  # no word is broken
    assert shared({"a": 900}, {"a": 900}, 10) == {"a": MOST_WORD}
    assert shared({}, {}, 600) == {}


@pytest.mark.parametrize(
    "text", ["refrigerator: Nothing cold in either compartment", "Oct 30, 2026"]
)
def test_a_text_is_rather_taken_for_too_wide(text: str):
    """Measured in a browser at 14 px: 282.1 and 71.1 pixels."""
    measured = {"Oct 30, 2026": 71.1}.get(text, 282.1)
    assert measured <= text_width(text) <= 1.05 * measured


def test_an_empty_table_is_as_wide_as_its_heads():
    config, height = fitted(pd.DataFrame({"who": pd.Series([], dtype=object)}), HEADS)
    assert config["who"]["width"] > text_width("Technician")
    assert height is None
