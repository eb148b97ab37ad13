"""Which version of this program a database file was made by, and what that means for its reader."""

from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

import duckdb

import sql
from etl.folder.errors import REMEDY
from etl.folder.regular_file import opened

OF_THE_FILE = "SELECT value FROM core.settings WHERE key = 'schema_version'"
OF_THE_ATTACHED = "SELECT value FROM old.core.settings WHERE key = 'schema_version'"
FOREIGN = "it is no database of this program"
MARK = (8, b"DUCK")  # place and content of the mark at the start of every DuckDB file


@dataclass(frozen=True)
class Schema:
    """The schema version that a file says of itself; None where it says nothing."""

    version: str | None

    @property
    def is_foreign(self) -> bool:
        """Say whether the file was not made by this program."""
        return self.version is None or not self.version.isdecimal()

    @property
    def is_newer(self) -> bool:
        """Say whether a newer version of this program made the file."""
        own, version = int(sql.SCHEMA_VERSION), self.version
        return version is not None and version.isdecimal() and int(version) > own

    @property
    def problem(self) -> str | None:
        """Return why the pages cannot read the file, with the remedy; None when they can."""
        if self.is_foreign:
            return f"{FOREIGN}; {REMEDY}"
        if self.is_newer:
            return "it was made by a newer version of this program; update the program"
        if self.version != sql.SCHEMA_VERSION:
            return (
                "it was made by an older version of this program; run ohmhours load with any "
                "export, even one loaded before: all records are rebuilt from what is kept"
            )
        return None


def schema_of(connection: duckdb.DuckDBPyConnection, query: str = OF_THE_FILE) -> Schema:
    """Return what an open file, or the one attached as old, says of its schema."""
    try:
        found = connection.execute(query).fetchall()
    except duckdb.CatalogException:
        found = []
    return Schema(found[0][0] if found else None)


def is_database(path: Path) -> bool:
    """Say whether a file begins as DuckDB files do; DuckDB itself would open other kinds too."""
    place, mark = MARK
    with opened(path) as file:
        return file.read(place + len(mark)).endswith(mark)


def settings_of(version: Path) -> dict[str, str] | None:
    """Return the settings that a version was built with; None where they cannot be read."""
    if not is_database(version):
        return None
    try:
        with closing(duckdb.connect()) as connection:
            connection.execute("ATTACH $path AS old (READ_ONLY)", {"path": str(version)})
            return dict(connection.execute("SELECT key, value FROM old.core.settings").fetchall())
    except duckdb.Error:
        return None
