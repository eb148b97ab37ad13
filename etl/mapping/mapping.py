"""A shop's columns → our fields: one TOML file a source, checked; messages name the key."""

import hashlib
import json
import tomllib
from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass, field
from fnmatch import fnmatch
from pathlib import Path

from etl.folder.errors import UserError
from etl.mapping.fields import TABLES, fields_of, folded

BUNDLED = Path(__file__).parent / "known"
WORD_FIELDS = (
    "appliance_kind",
    "symptom",
    "root_cause",
    "repair_code",
    "disposition",
    "outcome",
    "component",
    "test_point",
)


class MappingError(UserError):
    """A mapping that cannot be used; the message names the file and the key."""


@dataclass(frozen=True)
class TableMapping:
    """One table of a source: which files, and which column is which field."""

    table: str
    files: tuple[str, ...]
    sheet: str | None = None
    columns: dict[str, tuple[str, ...]] = field(default_factory=dict)
    constants: dict[str, str] = field(default_factory=dict)
    readings: dict[str, str] = field(default_factory=dict)

    def claims(self, file: str, sheet: str | None) -> bool:
        """Say whether this table is meant for the file (and sheet) of that name."""
        is_named = any(fnmatch(file.lower(), pattern.lower()) for pattern in self.files)
        return is_named and (
            self.sheet is None or sheet is None or fnmatch(sheet.lower(), self.sheet.lower())
        )

    def missing(self, header: Iterable[str]) -> list[str]:
        """List the headers that the mapping names for required fields and the file lacks."""
        present = {folded(name) for name in header}
        return [
            name
            for field_name, names in self.columns.items()
            if fields_of(self.table)[field_name].is_required
            for name in names
            if folded(name) not in present
        ]

    def fingerprint(self) -> str:
        """Return a hash of everything that decides what is stored of a row."""
        return hashlib.sha256(json.dumps(asdict(self), sort_keys=True).encode()).hexdigest()[:16]


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
    tables: tuple[TableMapping, ...] = ()
    words: dict[str, dict[str, str]] = field(default_factory=dict)

    def table_for(self, file: str, sheet: str | None) -> TableMapping | None:
        """Return the first table that claims the file and sheet."""
        return next((table for table in self.tables if table.claims(file, sheet)), None)


def read_mapping(path: Path) -> Mapping:
    """Read and check one mapping file.

    Raises MappingError with the file and the key when it cannot be used.
    """
    try:
        content = tomllib.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        raise MappingError(f"{path}: no such mapping file; name one that exists") from None
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise MappingError(f"{path.name}: not a TOML file ({error}); mend that line") from None
    return mapping_from(content, path.name)


def mapping_from(content: dict, where: str) -> Mapping:
    """Return the mapping that a parsed TOML document describes; `where` names it in errors."""
    _only(content, set(Mapping.__dataclass_fields__) - {"tables"} | {"table"}, where)
    if not isinstance(content.get("name"), str) or not content["name"]:
        raise MappingError(f'{where}: key "name" is missing; give the source a short name')
    tables = content.get("table", [])
    if not isinstance(tables, list) or not tables:
        raise MappingError(f"{where}: no [[table]]; at least one table must be mapped")
    plain = {key: value for key, value in content.items() if key not in ("table", "words")}
    _check_plain(plain, where)
    return Mapping(
        **plain,
        tables=tuple(_table(entry, where, i) for i, entry in enumerate(tables, start=1)),
        words=_words(content.get("words", {}), where),
    )


CHOICES = {"date_order": ("", "MDY", "DMY", "YMD"), "decimal": (".", ",")}


def _check_plain(plain: dict, where: str) -> None:
    for key, value in plain.items():
        wanted = type(Mapping.__dataclass_fields__[key].default) if key != "name" else str
        if not isinstance(value, wanted):
            raise MappingError(f'{where}: key "{key}" is {value!r}; wanted {wanted.__name__}')
        if key in CHOICES and value not in CHOICES[key]:
            choices = ", ".join(repr(choice) for choice in CHOICES[key])
            raise MappingError(f'{where}: key "{key}" is {value!r}; wanted one of {choices}')


def _only(content: dict, allowed: set[str], where: str) -> None:
    for key in content:
        if key not in allowed:
            raise MappingError(f'{where}: unknown key "{key}"; known: {", ".join(sorted(allowed))}')


def _table(entry: dict, where: str, number: int) -> TableMapping:
    place = f"{where}, table {number}"
    _only(entry, set(TableMapping.__dataclass_fields__), place)
    table = entry.get("table")
    if table not in TABLES:
        raise MappingError(f'{place}: key "table" is {table!r}; wanted one of {", ".join(TABLES)}')
    known = fields_of(table)
    columns = {
        name: _headers(value, name, place) for name, value in entry.get("columns", {}).items()
    }
    constants = entry.get("constants", {})
    for name in (*columns, *constants):
        if name not in known:
            raise MappingError(
                f'{place}: unknown field "{name}"; {table} has {", ".join(sorted(known))}'
            )
    for name, wanted in known.items():
        if wanted.is_required and name not in columns and name not in constants:
            raise MappingError(f'{place}: field "{name}" is required ({wanted.meaning})')
    return TableMapping(
        table=table,
        files=_headers(entry.get("files", ["*"]), "files", place),
        sheet=entry.get("sheet"),
        columns=columns,
        constants={name: str(value) for name, value in constants.items()},
        readings={str(k): str(v) for k, v in entry.get("readings", {}).items()},
    )


def _headers(value: object, key: str, place: str) -> tuple[str, ...]:
    names = [value] if isinstance(value, str) else value
    if not isinstance(names, list) or not names or not all(isinstance(n, str) for n in names):
        raise MappingError(f'{place}: key "{key}" is {value!r}; wanted a text or a list of texts')
    return tuple(names)


def _words(content: dict, where: str) -> dict[str, dict[str, str]]:
    _only(content, set(WORD_FIELDS), f"{where}, words")
    for name, table in content.items():
        if not isinstance(table, dict) or not all(isinstance(v, str) for v in table.values()):
            raise MappingError(f'{where}: [words.{name}] wants lines like "their word" = "our id"')
    return content


def bundled_mappings(extra: Path | None = None) -> list[Mapping]:
    """Return the mappings that ship with the project, after those in the folder `extra`."""
    folders = [folder for folder in (extra, BUNDLED) if folder and folder.is_dir()]
    return [read_mapping(path) for folder in folders for path in sorted(folder.glob("*.toml"))]


def canonical_table(file: str, sheet: str | None, header: Sequence[str]) -> TableMapping | None:
    """Return the table whose canonical names the header uses, or None when it is no such file."""
    present = {folded(name): name for name in header}
    fits = []
    for table in TABLES:
        known = fields_of(table)
        columns = {name: (present[folded(name)],) for name in known if folded(name) in present}
        if all(name in columns for name, wanted in known.items() if wanted.is_required):
            fits.append(TableMapping(table, (file,), sheet, columns))
    return max(fits, key=lambda fit: len(fit.columns), default=None)
