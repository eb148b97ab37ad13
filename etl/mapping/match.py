"""Which table of which file a mapping claims, and for which of our tables."""

import hashlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from etl.mapping.fields import folded
from etl.mapping.mapping import (
    Mapping,
    MappingError,
    TableMapping,
    bundled_mappings,
    canonical_table,
)
from etl.personal.shown import shape, shown_file
from etl.read import Limits, SourceTable, read_heads
from etl.read.paths import opened_under

KEPT_BYTES = 256_000_000  # rows kept from claim to landing; what is more is read again then


@dataclass(frozen=True)
class Claim:
    """A table of a file that a mapping has claimed."""

    path: Path
    content_hash: str
    source: SourceTable
    mapping: Mapping
    table: TableMapping
    row_count: int | None = None  # of the table whole; known once it was landed


def _has_all(table: TableMapping, header: list[str]) -> bool:
    """Say whether a file under another name has every column that the mapping names."""
    present = {folded(name) for name in header}
    return all(folded(name) in present for names in table.columns.values() for name in names)


def _tells_its_shop(table: TableMapping) -> bool:
    """Say whether any column has a name of its own; files with our names may be anybody's."""
    if table.readings:
        return True
    return any(
        folded(name) != folded(field) for field, names in table.columns.items() for name in names
    )


def content_hash(path: Path, limits: Limits | None = None) -> str:
    """Return the SHA-256 of a file's bytes; raise UnreadableFile for what no reader would take."""
    with opened_under(path, limits or Limits()) as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def claims_of(
    paths: Sequence[Path],
    mapping: Mapping | None,
    own_mappings: Path,
    progress: Callable[[str], None],
) -> tuple[list[Claim], list[str]]:
    """Find the mapping of each table of every file, from large files by their header alone.

    Returns the claims, sorted by file name and content so that the order of the arguments changes
    nothing, and the names of the tables that nothing claims.
    """
    mappings = [*([mapping] if mapping else []), *bundled_mappings(own_mappings)]
    claims, unclaimed, kept = [], [], 0
    for path in paths:
        progress(f"reading {shown_file(path.name)}")
        digest = content_hash(path)
        for source in read_heads(path):
            found = mapping_of(source, mappings, mapping)
            if found:
                kept += source.table.nbytes
                source = source if kept <= KEPT_BYTES else source.head()
                claims.append(Claim(path, digest, source, *found))
            else:
                unclaimed.append(_label(source))
    claims.sort(key=lambda claim: (claim.path.name, claim.content_hash, claim.source.sheet or ""))
    return claims, unclaimed


def _label(source: SourceTable) -> str:
    sheet = source.shown_sheet
    return source.shown_file + (f", {sheet}" if sheet else "")


def _named_table(candidate: Mapping, source: SourceTable) -> TableMapping | None:
    """Return the table that claims a source by its names; a nested list only by its own sheet."""
    return next(
        (
            table
            for table in candidate.tables
            if table.claims(source.file, source.sheet) and (table.sheet or not source.is_nested)
        ),
        None,
    )


def nested_path(source: SourceTable) -> str:
    """Return what the own columns of a nested list begin with, "visits." for example, else ""."""
    if not source.is_nested or not source.sheet:
        return ""
    paths = [f"{source.sheet}.", f"{source.sheet.partition('.')[2]}."]
    return next((p for p in paths if any(h.startswith(p) for h in source.header)), "")


def mapping_of(
    source: SourceTable, mappings: Sequence[Mapping], named: Mapping | None = None
) -> tuple[Mapping, TableMapping] | None:
    """Return the mapping and its table that claim a source, None when nothing does.

    A mapping claims by file name, else by having all its columns, else our own names claim: a file
    with our names alone is not given the words and habits of a shop whose mapping ships with the
    program. Raises MappingError when the mapping that the user named claims the file by name but
    lacks a column.
    """
    for candidate in mappings:
        table = _named_table(candidate, source)
        if table and not table.missing(source.header):
            return candidate, table
        if table and candidate is named:
            lacking = ", ".join(f'"{name}"' for name in table.missing(source.header))
            raise MappingError(
                f"{source.shown_file}: mapping {named.name} wants the column {lacking}, which the "
                f"file lacks; it has {shape(source.header, named.headers())}"
            )
    for candidate in mappings:
        for table in candidate.tables:
            if source.is_nested and table.sheet is None:
                continue
            if _has_all(table, source.header) and (
                _tells_its_shop(table) or candidate is named or candidate not in bundled_mappings()
            ):
                return candidate, table
    table = canonical_table(source.file, source.sheet, source.header, nested_path(source))
    return (Mapping(name="canonical", title="canonical names"), table) if table else None
