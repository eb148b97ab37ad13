"""Whether a version is whole: made by this program, and every block of it can be read."""

from contextlib import closing
from pathlib import Path

import duckdb

from etl.folder.errors import is_damage
from etl.folder.schema import FOREIGN, OF_THE_ATTACHED, is_database, schema_of
from etl.folder.versions import current


def fault(path: Path) -> str | None:
    """Return what is wrong with a version, None when it is whole.

    Every table is read to its last block, whose checksums DuckDB compares. An older or newer
    schema is no fault: the file is what it was.
    """
    if not is_database(path):
        return FOREIGN
    try:
        with closing(duckdb.connect()) as connection:  # attached: it may be open here already
            connection.execute("ATTACH $path AS old (READ_ONLY)", {"path": str(path)})
            schema = schema_of(connection, OF_THE_ATTACHED)
            for name in tables_of(connection):
                connection.table(name).aggregate("bit_xor(hash(columns(*)))").fetchall()
    except duckdb.Error as error:
        if not is_damage(error):
            raise
        return "it is damaged"
    return FOREIGN if schema.is_foreign else None


def tables_of(connection: duckdb.DuckDBPyConnection) -> list[str]:
    """Return the quoted names of every table of the file attached as old, in order."""
    query = (
        "SELECT schema_name, table_name FROM duckdb_tables() "
        "WHERE database_name = 'old' ORDER BY schema_name, table_name"
    )
    found = connection.execute(query).fetchall()
    return [f'old."{schema}"."{table}"' for schema, table in found]


def row_counts(folder: Path) -> dict[str, int]:
    """Count the rows of every table of the published version; nothing published gives none."""
    version = current(folder)
    if version is None:
        return {}
    with closing(duckdb.connect()) as connection:
        connection.execute("ATTACH $path AS old (READ_ONLY)", {"path": str(version)})
        return {
            name: connection.table(name).aggregate("count(*)").fetchall()[0][0]
            for name in tables_of(connection)
        }
