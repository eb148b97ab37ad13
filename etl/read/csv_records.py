"""Records of delimited text, each with the line it starts on (RFC 4180 quotes and line ends)."""

import csv
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from etl.read.encoding import BROKEN, repaired
from etl.read.source_table import TEXT_SHOWN, Limits, UnreadableFile


class Record(NamedTuple):
    """One record: its first line, the lines it takes, its cells, or the code of its fault."""

    line: int
    lines: list[str]
    cells: list[str]
    problem: str = ""

    @property
    def text(self) -> str:
        """The start of the record as written, for its owner to find it."""
        return repaired("".join(self.lines)[:TEXT_SHOWN]).rstrip("\r\n")


class _Lines:
    """The lines of a text, counted, those of the record in hand kept."""

    def __init__(self, file: str, lines: Iterable[str], limits: Limits, first_line: int) -> None:
        self.file = file
        self.limits = limits
        self.number = first_line - 1
        self.taken: list[str] = []
        self._lines = iter(lines)

    def __iter__(self) -> Iterator[str]:
        return self

    def __next__(self) -> str:
        line = next(self._lines)
        self.number += 1
        if len(line) > self.limits.max_line_chars:
            where = f"line {self.number:,} has {len(line):,} characters"
            raise UnreadableFile(self.file, "line_too_long", where)
        if "\0" in line:
            raise UnreadableFile(self.file, "nul_bytes", f"line {self.number:,}")
        self.taken.append(line)
        return line


def records(
    file: str, lines: Iterable[str], delimiter: str, limits: Limits, first_line: int = 1
) -> Iterator[Record]:
    """Yield every record; a quote misplaced within one line makes that record a bad one.

    Raises UnreadableFile when a quote is never closed: what follows it cannot be distinguished.
    """
    source = _Lines(file, lines, limits, first_line)
    reader = csv.reader(source, delimiter=delimiter, strict=True)
    while True:
        source.taken = []
        problem = ""
        try:
            cells = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            problem = _problem(source, str(error))
            cells = []
        lines = source.taken
        if not problem and any(not line.isascii() and BROKEN.search(line) for line in lines):
            problem = "undecodable_bytes"
        yield Record(source.number - len(lines) + 1, lines, cells, problem)


def _problem(source: _Lines, error: str) -> str:
    count = len(source.taken)
    first = source.number - count + 1
    if "field larger" in error and count == 1:
        where = (
            f"line {first:,} has a field of more than {source.limits.max_cell_chars:,} characters"
        )
        raise UnreadableFile(source.file, "line_too_long", where)
    if count == 1 and "end of data" not in error:
        return "broken_quotes"
    raise UnreadableFile(source.file, "unclosed_quote", f"it opens on line {first:,} or later")
