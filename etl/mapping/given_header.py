"""The tables of a file, their headers in the rows that a mapping gives."""

from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import replace
from pathlib import Path

from etl.mapping.mapping import Mapping
from etl.read import Limits, SourceTable, UnreadableFile, read_heads


def read_by(
    path: Path,
    mappings: Sequence[Mapping],
    limits: Limits | None = None,
    read: Callable[[Path, Limits], list[SourceTable]] = read_heads,
) -> tuple[Limits, list[SourceTable]]:
    """Read a file's tables, their headers where the first mapping that fits gives them, else found.

    Returns also the limits by which to read the file again. Raises UnreadableFile.
    """
    limits = limits or Limits()
    for candidate in mappings:
        if rows := _given_headers(candidate, path.name):
            given = replace(limits, header_rows=rows)
            with suppress(UnreadableFile):
                sources = read(path, given)
                if any(_fits_where_given(candidate, source) for source in sources):
                    return given, sources
    return limits, read(path, limits)


def _given_headers(mapping: Mapping, file: str) -> tuple[tuple[str, int], ...]:
    """Return (sheet, row) of each header whose row a mapping gives for a file."""
    return tuple(
        (table.sheet or "*", table.header_row)
        for table in sorted(mapping.tables, key=lambda table: table.sheet is None)
        if table.header_row and table.claims(file, None)
    )


def _fits_where_given(mapping: Mapping, source: SourceTable) -> bool:
    return any(
        table.header_row and not table.missing(source.header)
        for table in mapping.tables
        if table.claims(source.file, source.sheet)
    )
