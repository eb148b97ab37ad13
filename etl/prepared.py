"""What no record changes, made once in each process: lookups, the registers' words, macros.

Every database that a load builds begins as a copy of it: a load that adds to a large version builds
four, a run of tests hundreds. It is made by the code that runs, so it is never of another version.
"""

import tempfile
import threading
from contextlib import closing
from importlib.resources import as_file, files
from pathlib import Path

import duckdb
import pyarrow.csv

import sql

MACROS = ("core/text_macros", "core/rate_macros", "core/filter_macros", "core/reading_macros")
DERIVED = ("raw/general_kinds", "lookups/register_words")
NAME, DRAFT = "prepared.duckdb", "draft.duckdb"

_making = threading.Lock()
_kept: list[tempfile.TemporaryDirectory[str]] = []


def begin(connection: duckdb.DuckDBPyConnection) -> None:
    """Give the current database the schemas lookups and core, with all that no record changes."""
    ((name,),) = connection.execute("SELECT current_database()").fetchall()
    connection.execute("ATTACH $path AS prepared (READ_ONLY)", {"path": str(_prepared())})
    connection.execute(f'COPY FROM DATABASE prepared TO "{name}"')
    connection.execute("DETACH prepared")


def _prepared() -> Path:
    """Return the file of this process; it is made again when somebody cleaned it away."""
    with _making:
        if _kept and (path := Path(_kept[0].name, NAME)).is_file():
            return path
        _kept[:] = [tempfile.TemporaryDirectory(prefix="ohmhours_", ignore_cleanup_errors=True)]
        return _made(Path(_kept[0].name))


def _made(folder: Path) -> Path:
    with closing(duckdb.connect()) as connection:
        connection.execute(
            "ATTACH $path AS prepared (RECOVERY_MODE no_wal_writes)", {"path": str(folder / DRAFT)}
        )
        connection.execute("USE prepared; CREATE SCHEMA lookups; CREATE SCHEMA core")
        for macros in MACROS:
            connection.execute(sql.text(macros))
        _load_lookups(connection)
        for step in DERIVED:
            connection.execute(sql.text(step))
        connection.execute("CHECKPOINT")
    return (folder / DRAFT).rename(folder / NAME)


def _load_lookups(connection: duckdb.DuckDBPyConnection) -> None:
    with as_file(files("sql") / "lookups") as folder:
        for path in sorted(folder.glob("*.csv")):
            table = pyarrow.csv.read_csv(
                path, convert_options=pyarrow.csv.ConvertOptions(strings_can_be_null=True)
            )
            connection.from_arrow(table).create(f"lookups.{path.stem}")
