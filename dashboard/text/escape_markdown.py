"""Text of the records, shown as it was written: never taken for Markdown, markup or a command."""

import re
from collections.abc import Sequence
from html import escape
from typing import Any

JOINER = "\u2060"  # invisible, and no text is parted at it
INVISIBLE_LETTERS = "\u200c\u200d"  # part of words in some scripts
MARKS = re.compile(r"[\\`*_{}\[\]<>#$~|&!^]")
AT_THE_START = re.compile(r"^(?:[-+]|\d+[.)])")
# read after the marks, where a backslash does not reach: links, icons, arrows, dashes
PAIRS = re.compile(
    r"(?i)(?<=:)(?=//|[^\W\d]|[+-]|\d+:)|(?<=www)(?=\.)|(?=@)|(?<=[-<>=~])(?=[-<>=])"
)
MARKUP = re.compile(r"[&<>\n]")
TEXTS_OF_A_TRACE = ("x", "y", "text", "customdata", "name", "hovertext")


def verbatim(value: object) -> str:
    """Write a text so that Markdown shows just its letters: no markup, link, formula or icon.

    Blanks and line ends become single blanks; control signs and signs that turn the direction of
    writing become “�”.
    """
    text = printable(" ".join(str(value).split()))
    marked = MARKS.sub(r"\\\g<0>", PAIRS.sub(JOINER, text))
    return AT_THE_START.sub(_with_a_backslash, marked)


def _with_a_backslash(match: re.Match[str]) -> str:
    start = match[0]
    return f"{start[:-1]}\\{start[-1]}"


def printable(text: str) -> str:
    """Write a text for a terminal: signs that steer it, or turn the direction of writing, as “�”.

    Line ends stay.
    """
    kept = f"\n{INVISIBLE_LETTERS}"
    return "".join(c if c.isprintable() or c in kept else "�" for c in text)


def verbatim_figure(figure: Any) -> Any:
    """Make every text that a chart draws from records plain; a line end stays a line end.

    Plotly takes <b>, <a href> and the like for markup. Templates are our own.
    """
    for trace in figure.data:
        _make_plain(trace, TEXTS_OF_A_TRACE)
    for axis in (*figure.select_xaxes(), *figure.select_yaxes()):
        _make_plain(axis.title, ["text"])
        _make_plain(axis, ["ticktext", "categoryarray"])
    for note in figure.layout.annotations:
        _make_plain(note, ["text", "hovertext"])
    return figure


def _make_plain(part: Any, names: Sequence[str]) -> None:
    """Make these texts of a part of a chart plain; only those with markup are set again."""
    for name in names:
        if name in part and _has_markup(part[name]):
            part[name] = _plain(part[name])


def _has_markup(value: Any) -> bool:
    if isinstance(value, str):
        return MARKUP.search(value) is not None
    return _is_list(value) and any(_has_markup(each) for each in value)


def _is_list(value: Any) -> bool:
    """Return True for what can hold texts: an array of numbers is none."""
    return isinstance(value, list | tuple) or getattr(value, "dtype", None) == "object"


def _plain(value: Any) -> Any:
    """Return texts, alone or in lists, with the signs of markup taken out; numbers as they are."""
    if isinstance(value, str):
        return escape(value, quote=False).replace("\n", "<br>")
    return [_plain(each) for each in value] if _is_list(value) else value
