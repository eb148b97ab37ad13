"""Which table of which file a mapping claims, and for which of our tables."""

import hashlib
import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from etl.mapping.fields import folded
from etl.mapping.given_header import read_by
from etl.mapping.mapping import (
    Mapping,
    MappingError,
    TableMapping,
    bundled_mappings,
    canonical_table,
)
from etl.personal.redact_names import shape, shown_file
from etl.read import Limits, SourceTable
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
    limits: Limits = field(default_factory=Limits)  # with which its file was read

    @property
    def columns_hash(self) -> str:
        """Return a hash of what decides which cells of which rows are stored."""
        words = self.mapping.words.get("line_type", {})
        if not words or "line_type" not in self.table.columns:
            return self.table.fingerprint()
        said = json.dumps([self.table.fingerprint(), words], sort_keys=True)
        return hashlib.sha256(said.encode()).hexdigest()[:16]

    @property
    def missing(self) -> list[str]:
        """List the columns that the mapping names and the file lacks."""
        present = {folded(name) for name in self.source.header}
        named = [name for names in self.table.columns.values() for name in names]
        return [
            name
            for name in dict.fromkeys([*named, *self.table.readings])
            if folded(name) not in present
        ]


def _has_all(table: TableMapping, header: list[str]) -> bool:
    """Say whether a file under another name has every column that the mapping names."""
    present = {folded(name) for name in header}
    columns = table.resolved(header).columns
    return all(folded(name) in present for names in columns.values() for name in names)


def _names_its_shop(table: TableMapping) -> bool:
    """Say whether any column has a name of its own; files with our names may be anybody's."""
    if table.readings:
        return True
    return any(
        folded(name) != folded(field)
        for columns in (table.columns, table.first_of)
        for field, names in columns.items()
        for name in names
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
        limits, sources = read_by(path, mappings)
        for source in sources:
            found, tables = tables_of(source, mappings, mapping)
            if found:
                kept += source.table.nbytes
                source = source if kept <= KEPT_BYTES else source.head()
                claims += [
                    Claim(path, digest, source, found, table, limits=limits) for table in tables
                ]
            else:
                unclaimed.append(_label(source))
    claims.sort(key=lambda claim: (claim.path.name, claim.content_hash, claim.source.sheet or ""))
    return claims, unclaimed


def _label(source: SourceTable) -> str:
    sheet = source.shown_sheet
    return source.shown_file + (f", {sheet}" if sheet else "")


def _named_tables(candidate: Mapping, source: SourceTable) -> list[TableMapping]:
    """Return the tables that claim a source by its names; a nested list only by its own sheet."""
    return [
        table
        for table in candidate.tables
        if table.claims(source.file, source.sheet) and (table.sheet or not source.is_nested)
    ]


def nested_path(source: SourceTable) -> str:
    """Return what the own columns of a nested list begin with, "visits." for example, else ""."""
    if not source.is_nested or not source.sheet:
        return ""
    paths = [f"{source.sheet}.", f"{source.sheet.partition('.')[2]}."]
    return next((p for p in paths if any(h.startswith(p) for h in source.header)), "")


def mapping_of(
    source: SourceTable, mappings: Sequence[Mapping], named: Mapping | None = None
) -> tuple[Mapping, TableMapping] | None:
    """Return the mapping and its first table that claim a source, None when nothing does."""
    found, tables = tables_of(source, mappings, named)
    return (found, tables[0]) if found else None


def tables_of(
    source: SourceTable, mappings: Sequence[Mapping], named: Mapping | None = None
) -> tuple[Mapping | None, list[TableMapping]]:
    """Return the mapping that claims a source and all its tables that do: one file of invoice lines
    may hold jobs and part lines.

    A mapping claims by file name, else by having all its columns, else our own names claim: a file
    with our names alone is not given the words and habits of a shop whose mapping ships with the
    program. Raises MappingError when the mapping that the user named claims the file by name but
    lacks a column.
    """
    bundled = bundled_mappings()
    for candidate in mappings:
        tables = _named_tables(candidate, source)
        is_own = candidate is named or candidate not in bundled
        fitting = [
            table
            for table in tables
            if not table.missing(source.header)
            and (is_own or _names_its_shop(table) or _has_all(table, source.header))
        ]
        if fitting:
            return candidate, [table.resolved(source.header) for table in fitting]
        if tables and candidate is named:
            raise _lacks(source, named, tables[0].missing(source.header))
    for candidate in mappings:
        is_own = candidate is named or candidate not in bundled
        by_kind = {
            table.table: table.resolved(source.header)
            for table in reversed(candidate.tables)
            if not (source.is_nested and table.sheet is None)
            and _has_all(table, source.header)
            and (is_own or _names_its_shop(table))
        }
        if by_kind:
            return candidate, list(reversed(by_kind.values()))
    table = canonical_table(source.file, source.sheet, source.header, nested_path(source))
    return (Mapping(name="canonical", title="canonical names"), [table]) if table else (None, [])


def _lacks(source: SourceTable, named: Mapping, lacking: list[str]) -> MappingError:
    wanted = ", ".join(f'"{name}"' for name in lacking)
    return MappingError(
        f"{source.shown_file}: mapping {named.name} wants the column {wanted}, which the "
        f"file lacks; it has {shape(source.header, named.headers())}"
    )
