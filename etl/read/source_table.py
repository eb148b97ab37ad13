"""What a reader gives back: one table of one file, every cell text; or why the file was refused."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from fnmatch import fnmatch
from functools import cache
from typing import Any

import pyarrow as pa

import sql
from etl.folder.errors import UserError
from etl.personal.redact_names import shown_file, shown_sheet

TEXT_SHOWN = 200  # characters of a bad row that are kept for its owner to find it


@dataclass(frozen=True)
class Limits:
    """How a file is read: how large it may be, and where its header is if that is known.

    Ten years of exports fit many times over, a bomb does not.

    A file of the most bytes holds some 17 million readings; its rows are in memory alone, as
    columns, and no longer than until they are landed.
    """

    max_file_bytes: int = 1_000_000_000
    max_rows: int = 20_000_000
    max_columns: int = 2_000
    max_cell_chars: int = 1_000_000
    max_line_chars: int = 4_000_000
    max_unzipped_bytes: int = 2_000_000_000
    max_zip_ratio: int = 200
    max_sheet_cells: int = 30_000_000
    max_seconds: int = 900
    max_memory_bytes: int = 8 << 30  # of the process that reads it, its libraries counted
    header_rows: tuple[tuple[str, int], ...] = ()  # (pattern of the sheet, row) where it is given

    def header_row(self, sheet: str | None) -> int | None:
        """Return the row of the header that was given for a sheet; None: it is to be found."""
        return next(
            (
                row
                for pattern, row in self.header_rows
                if sheet is None or fnmatch(sheet.lower(), pattern.lower())
            ),
            None,
        )


@dataclass(frozen=True)
class BadRow:
    """A row that could not be read as a row: it goes to quarantine with this code.

    `text` is the start of the row; it may name a customer, hence it is left out of the repr.
    """

    row_number: int
    code: str
    text: str = field(default="", repr=False)


@dataclass(frozen=True)
class SourceTable:
    """One table of one file: columns c0, c1, … of text, null for an empty cell, some of them
    dictionary-encoded.

    `row_numbers` are the numbers that a person sees: lines of a text file, rows of a sheet.
    """

    file: str
    sheet: str | None
    header: list[str]
    table: pa.Table
    row_numbers: pa.Array
    bad_rows: list[BadRow] = field(default_factory=list)
    date_system: str | None = None
    notes: list[str] = field(default_factory=list)
    is_head: bool = False  # its rows were left in the file
    is_nested: bool = False  # a list inside the records of another table; its sheet is the path
    sheet_number: int = 1

    @property
    def shown_file(self) -> str:
        """Return the file's name as it is shown and kept."""
        return shown_file(self.file)

    @property
    def shown_sheet(self) -> str | None:
        """Return the sheet's name as it is shown and kept; None for a file without sheets."""
        return shown_sheet(self.sheet, self.sheet_number)

    def head(self) -> "SourceTable":
        """Return the table without its rows, the bad ones included."""
        rows, numbers = self.table.schema.empty_table(), pa.array([], pa.int64())
        return replace(self, table=rows, row_numbers=numbers, bad_rows=[], is_head=True)

    @property
    def row_count(self) -> int:
        """Count the rows read, those that could not be understood included."""
        read: int = self.table.num_rows
        return read + len(self.bad_rows)

    @property
    def is_empty(self) -> bool:
        """Say whether the table holds no row at all, not even a bad one."""
        return self.row_count == 0


class UnreadableFile(UserError):
    """A file that was refused as a whole, with the code of the catalogue and the remedy."""

    def __init__(self, file: str, problem: str, detail: str = "") -> None:
        self.file = file
        self.problem = problem
        self.detail = detail
        title, remedy = catalogue()[problem]
        place = f" ({detail})" if detail else ""
        name = shown_file(file.encode("utf-8", "replace").decode("utf-8"))
        shown = name if name.isprintable() else ascii(name)
        super().__init__(
            f"{shown}: {title[0].lower()}{title[1:]}{place}. {remedy}; nothing was changed"
        )

    def __reduce__(self) -> tuple[Any, ...]:
        """Travel between processes by what it was made of."""
        return type(self), (self.file, self.problem, self.detail)


@cache
def catalogue() -> dict[str, tuple[str, str]]:
    """Return title and remedy of every problem of files, by code."""
    return {row["code"]: (row["title"], row["remedy"]) for row in sql.lookup("problem_codes_files")}


def unique(header: Sequence[str]) -> tuple[list[str], list[str]]:
    """Return the header with blank names numbered and repeated names made distinct, and the notes.

    A name that is neither comes back as it was written.
    """
    taken = {name for name in header if name.strip()}
    names: list[str] = []
    notes = []
    seen: set[str] = set()
    for i, written in enumerate(header, start=1):
        name = written if written.strip() else f"column {i}"
        repeat = 1
        while name in seen or (not written.strip() and name in taken):
            repeat += 1
            name = f"{written.strip() or f'column {i}'} ({repeat})"
        if name != written:
            first = header.index(written) + 1
            notes.append(
                f"column {i} has the name of column {first}; it is called by it with ({repeat})"
                if written.strip()
                else f"column {i} has no name"
            )
        seen.add(name)
        names.append(name)
    return names, notes
