"""A shop's columns → our fields: one TOML file a source, checked; messages name the key."""

import hashlib
import json
import re
import tomllib
from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass, field, replace
from fnmatch import fnmatch
from pathlib import Path
from typing import Any

from etl.folder.regular_file import small_text
from etl.mapping.fields import TABLES, fields_of, folded
from etl.mapping.schema import WORD_FIELDS, MappingError, TableContent, checked

__all__ = [
    "WORD_FIELDS", "Mapping", "MappingError", "TableMapping", "bundled_mappings",
    "canonical_table", "mapping_from", "read_mapping",
]  # fmt: skip

BUNDLED = Path(__file__).parent / "known"
# keys that schema 4 did not have: unset they leave a table's fingerprint as it was
LATER_KEYS = ("first_of", "units", "header_row", "make_job_number")


@dataclass(frozen=True)
class TableMapping:
    """One table of a source: which files, and which column is which field."""

    table: str
    files: tuple[str, ...]
    sheet: str | None = None
    columns: dict[str, tuple[str, ...]] = field(default_factory=dict)
    constants: dict[str, str] = field(default_factory=dict)
    readings: dict[str, str] = field(default_factory=dict)
    first_of: dict[str, tuple[str, ...]] = field(default_factory=dict)
    units: dict[str, str] = field(default_factory=dict)
    header_row: int | None = None
    make_job_number: bool = False

    @property
    def has_lines(self) -> bool:
        """Say whether several rows are one job: its invoice lines."""
        return self.table == "jobs" and "line_type" in {**self.columns, **self.constants}

    def resolved(self, header: Iterable[str]) -> "TableMapping":
        """Return the table with the first header that a file has for each field of `first_of`."""
        present = {folded(name) for name in header}
        found = {
            name: (next((h for h in headers if folded(h) in present), headers[0]),)
            for name, headers in self.first_of.items()
        }
        return replace(self, columns=self.columns | found, first_of={})

    def claims(self, file: str, sheet: str | None) -> bool:
        """Say whether this table is meant for the file (and sheet) of that name."""
        is_named = any(_is_like(file, pattern) for pattern in self.files)
        return is_named and (self.sheet is None or sheet is None or _is_like(sheet, self.sheet))

    def missing(self, header: Iterable[str]) -> list[str]:
        """List the headers that the mapping names for required fields and the file lacks."""
        present = {folded(name) for name in header}
        return [
            name
            for field_name, names in self.resolved(header).columns.items()
            if fields_of(self.table)[field_name].is_required
            for name in names
            if folded(name) not in present
        ]

    def headers(self) -> list[str]:
        """List every header that the table names."""
        named = [*self.columns.values(), *self.first_of.values()]
        return [*(name for names in named for name in names), *self.readings]

    def fingerprint(self) -> str:
        """Return a hash of everything that decides what is stored of a row."""
        said = {k: v for k, v in asdict(self).items() if v or k not in LATER_KEYS}
        return hashlib.sha256(json.dumps(said, sort_keys=True).encode()).hexdigest()[:16]


@dataclass(frozen=True)
class Mapping:
    """One source: its tables, its habits of writing, and its words."""

    name: str
    title: str = ""
    date_order: str = ""
    decimal: str = "."
    currency: str = ""
    time_zone: str = "UTC"
    fold_case: bool = False
    own_kinds: bool = False
    numbering: str = ""
    tables: tuple[TableMapping, ...] = ()
    words: dict[str, dict[str, str]] = field(default_factory=dict)

    @property
    def own_numbering(self) -> str:
        """Return whose job numbers these are, in one word: the key `numbering`, else the name."""
        return re.sub(r"\s+", "_", (self.numbering or self.name).strip())

    def tables_for(self, file: str, sheet: str | None) -> list[TableMapping]:
        """Return the tables that claim the file and sheet: one file may hold several."""
        return [table for table in self.tables if table.claims(file, sheet)]

    def headers(self) -> list[str]:
        """List every header that the mapping names."""
        return [name for table in self.tables for name in table.headers()]


def _is_like(name: str, pattern: str) -> bool:
    """Return True for a name that is the pattern, "jobs [2].csv" too, or is matched by it."""
    name, pattern = name.lower(), pattern.lower()
    return name == pattern or fnmatch(name, pattern)


def read_mapping(path: Path) -> Mapping:
    """Read and check one mapping file.

    Raises MappingError with the file and the key when it cannot be used.
    """
    try:
        content = tomllib.loads(small_text(path))
    except FileNotFoundError:
        raise MappingError(f"{path}: no such mapping file; name one that exists") from None
    except OSError as error:
        raise MappingError(f"{path.name}: cannot be read ({error.strerror})") from None
    except (ValueError, RecursionError) as error:
        reason = "nested too deep" if isinstance(error, RecursionError) else error
        raise MappingError(f"{path.name}: not a TOML file ({reason}); correct it") from None
    return mapping_from(content, path.name)


def mapping_from(content: dict[str, Any], where: str) -> Mapping:
    """Return the mapping that a parsed TOML document describes; `where` names it in errors."""
    document = checked(content, where)
    habits = document.model_dump(exclude={"table", "words"})
    tables = tuple(_table(table) for table in document.table)
    return Mapping(**habits, tables=tables, words=dict(document.words.items()))


def _table(entry: TableContent) -> TableMapping:
    return TableMapping(
        table=entry.table,
        files=_texts(entry.files),
        sheet=entry.sheet,
        columns={name: _texts(headers) for name, headers in entry.columns.items()},
        constants={name: str(value) for name, value in entry.constants.items()},
        readings=entry.readings,
        first_of={name: _texts(headers) for name, headers in entry.first_of.items()},
        units=dict(entry.units.items()),
        header_row=entry.header_row,
        make_job_number=entry.make_job_number,
    )


def _texts(value: str | list[str]) -> tuple[str, ...]:
    return (value,) if isinstance(value, str) else tuple(value)


def bundled_mappings(extra: Path | None = None) -> list[Mapping]:
    """Return the mappings that ship with the project, after those in the folder `extra`."""
    folders = [folder for folder in (extra, BUNDLED) if folder and folder.is_dir()]
    return [read_mapping(path) for folder in folders for path in sorted(folder.glob("*.toml"))]


def canonical_table(
    file: str, sheet: str | None, header: Sequence[str], path: str = ""
) -> TableMapping | None:
    """Return the table whose canonical names the header uses, or None when it is no such file.

    `path` is what the own columns of a nested list begin with; such a list holds no jobs.
    """
    present = {folded(name): name for name in header}
    present |= {folded(n.removeprefix(path)): n for n in header if path and n.startswith(path)}
    fits = []
    for table in TABLES[1:] if path else TABLES:
        known = fields_of(table)
        columns: dict[str, tuple[str, ...]] = {
            name: (present[folded(name)],) for name in known if folded(name) in present
        }
        if all(name in columns for name, wanted in known.items() if wanted.is_required):
            fits.append(TableMapping(table, (file,), sheet, columns))
    return max(fits, key=lambda fit: len(fit.columns), default=None)
