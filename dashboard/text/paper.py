"""A sheet to print or hand out: title, lines, tables, notes → HTML that stands alone."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from dashboard.text.templates import templates

TEMPLATES = templates(Path(__file__).parent)


@dataclass(frozen=True)
class PaperTable:
    """One table: what it says in a sentence, heads, rows of text, and which columns are numbers."""

    title: str
    heads: Sequence[str]
    rows: Sequence[Sequence[str]]
    numbers: frozenset[int] = frozenset()


@dataclass(frozen=True)
class Paper:
    """A sheet. `warning` is set in a frame above everything else; None without one."""

    title: str
    lines: Sequence[str]
    tables: Sequence[PaperTable]
    notes: Sequence[str] = ()
    warning: str | None = None


def paper_html(paper: Paper, *, is_sample: bool = False) -> str:
    """Return the sheet as one HTML text: nothing is loaded from outside, nothing runs.

    `is_sample`: the records are those of the sample shop, so the sheet says that it is invented.
    """
    return TEMPLATES.get_template("paper.html.jinja").render(paper=paper, is_sample=is_sample)
