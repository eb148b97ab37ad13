"""What a reader gives back: one table of one file, every cell text; or why the file was refused."""

import csv
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from functools import cache
from importlib.resources import files

import pyarrow as pa


@dataclass(frozen=True)
class Limits:
    """How large a file may be: ten years of exports fit, a bomb does not."""

    max_file_bytes: int = 4_000_000_000
    max_columns: int = 2_000
    max_line_characters: int = 5_000_000
    max_unzipped_bytes: int = 4_000_000_000
    max_zip_ratio: int = 200


@dataclass(frozen=True)
class BadRow:
    """A row that could not be read as a row; it goes to quarantine with this code."""

    row_number: int
    code: str


@dataclass(frozen=True)
class SourceTable:
    """One table of one file: columns c0, c1, … of text, null for an empty cell.

    `row_numbers` are the numbers that a person sees: lines of a text file, rows of a sheet.
    """

    file: str
    sheet: str | None
    header: list[str]
    table: pa.Table
    row_numbers: pa.Array
    bad_rows: list[BadRow] = field(default_factory=list)
    date_system: str | None = None


class UnreadableFile(Exception):
    """A file that was refused as a whole, with the code of the catalogue and the remedy."""

    def __init__(self, file: str, problem: str, detail: str = "") -> None:
        self.file = file
        self.problem = problem
        title, remedy = _catalogue()[problem]
        place = f" ({detail})" if detail else ""
        super().__init__(
            f"{file}: {title[0].lower()}{title[1:]}{place}. {remedy}; nothing was changed"
        )


@cache
def _catalogue() -> dict[str, tuple[str, str]]:
    text = (files("sql") / "lookups" / "problem_codes_files.csv").read_text(encoding="utf-8")
    return {row["code"]: (row["title"], row["remedy"]) for row in csv.DictReader(text.splitlines())}


def text_table(header: Sequence[str], rows: Iterable[Sequence[str | None]]) -> pa.Table:
    """Return the rows as an Arrow table with text columns c0, c1, …; empty text becomes null."""
    columns = list(zip(*rows, strict=True)) or [[] for _ in header]
    return pa.table(
        {
            f"c{i}": pa.array([cell or None for cell in column], pa.string())
            for i, column in enumerate(columns)
        }
    )


def unique(header: Sequence[str]) -> list[str]:
    """Return the header with blank names numbered and repeated names told apart."""
    seen: dict[str, int] = {}
    names = []
    for i, name in enumerate(header, start=1):
        plain = str(name or "").strip() or f"column {i}"
        seen[plain] = seen.get(plain, 0) + 1
        names.append(plain if seen[plain] == 1 else f"{plain} ({seen[plain]})")
    return names
