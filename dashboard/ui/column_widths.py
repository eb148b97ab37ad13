"""How wide the columns of a table are: every text in full, over several lines where it must be."""

from collections.abc import Iterable, Mapping
from math import ceil
from typing import Any

import pandas as pd
from pandas.api.types import is_datetime64_any_dtype, is_numeric_dtype

ROOM = 940  # pixels of a table in a box of a page 1440 wide, with the filters open
PADDING, NUMBER, DAY = 20, 70, 100
LEAST_TEXT, MOST_WORD = 110, 240  # a longer word is broken
WRAPS_FROM, LINE = 66, 20  # the table wraps text in rows over 64 pixels
PIXELS = {  # of a sign in the font of the tables at 14 px, measured in a browser
    **dict.fromkeys(" ", 2.8),
    **dict.fromkeys("|ijlI',.:;!", 3.7),
    **dict.fromkeys("frt()[]{}-/\\", 4.8),
    **dict.fromkeys('sczvxy?*“”"', 6.5),
    **dict.fromkeys("0123456789$+<>=_–−", 7.0),
    **dict.fromkeys("wMNHOQGUDΩ", 9.6),
    **dict.fromkeys("mW%@—", 11.8),
}
OTHER = 7.8
MEASURED = 40  # the longest texts of a column: among them is the widest


def text_width(text: str) -> float:
    """Return about how many pixels a text takes in a table, rather too many than too few."""
    return sum(PIXELS.get(sign, OTHER) for sign in text)


def fitted(
    frame: pd.DataFrame, config: Mapping[str, Any] | None
) -> tuple[dict[str, Any], int | None]:
    """Return the column_config with widths, and the height of the rows; None: one line is enough.

    Numbers and days are one line. Texts share what is left.
    """
    given = {name: dict((config or {}).get(name) or {}) for name in frame.columns}
    heads = {name: str(each.get("label") or name) for name, each in given.items()}
    others = {
        name: max(text_width(heads[name]) + PADDING, DAY if _is_day(frame[name]) else NUMBER)
        for name in frame.columns
        if _is_day(frame[name]) or is_numeric_dtype(frame[name])
    }
    texts = {
        name: [heads[name], *frame[name].dropna().astype(str).unique()]
        for name in frame.columns
        if name not in others
    }
    needs = {name: PADDING + widest(each) for name, each in texts.items()}
    words = {
        name: PADDING + widest({w for t in each for w in t.split()}) for name, each in texts.items()
    }
    widths = shared(needs, words, ROOM - sum(others.values()))
    lines = max((_lines(need, widths[name]) for name, need in needs.items()), default=1)
    for name, width in widths.items():
        given[name]["width"] = ceil(width)
    return given, None if lines == 1 else max(WRAPS_FROM, lines * LINE + 8)


def widest(texts: Iterable[str]) -> float:
    """Return the width of the widest text."""
    longest = sorted(texts, key=len)[-MEASURED:]
    return max((text_width(each) for each in longest), default=0.0)


def shared(needs: Mapping[str, float], words: Mapping[str, float], room: float) -> dict[str, float]:
    """Return a width for each text column: its need, or as much of it as the room allows.

    Each keeps LEAST_TEXT pixels, and what its longest word needs (`words`); of what it needs
    beyond, all get the same part, so that long texts take few more lines than the others.
    """
    least = {
        name: max(min(need, LEAST_TEXT), min(words[name], MOST_WORD))
        for name, need in needs.items()
    }
    beyond = sum(needs.values()) - sum(least.values())
    part = 1.0 if beyond == 0 else min(max((room - sum(least.values())) / beyond, 0.0), 1.0)
    return {name: least[name] + part * (need - least[name]) for name, need in needs.items()}


def _lines(need: float, width: float) -> int:
    """Return how many lines a text takes; words do not fill them, so some more than its share."""
    return 1 if need <= width + 0.5 else ceil(1.15 * (need - PADDING) / (width - PADDING))


def _is_day(column: pd.Series) -> bool:
    return bool(is_datetime64_any_dtype(column))
