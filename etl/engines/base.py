"""Where the steps of a load run: in the new file itself, or on Spark."""

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from functools import partial
from typing import Protocol

import duckdb

import sql
from etl.raw.store import LoadError


class Engine(Protocol):
    """What a load asks of the place where its SELECTs run."""

    def run(self, step: str) -> None:
        """Run one SQL file."""

    def learn(self, macros: str) -> None:
        """Know the macros of one SQL file, which the new file has already."""

    def fetch(self, table: str) -> None:
        """Bring the rows of a table that a step filled into the new file."""

    def give(self, table: str) -> None:
        """Make a table of the new file known to the steps that follow."""


OpensEngine = Callable[[duckdb.DuckDBPyConnection], AbstractContextManager[Engine]]


def file_of(connection: duckdb.DuckDBPyConnection) -> str | None:
    """Return the path of the current database's file; None for one in memory."""
    path: str | None
    ((path,),) = connection.execute(
        "SELECT path FROM duckdb_databases() WHERE database_name = current_database()"
    ).fetchall()
    return path


class Here:
    """The new file itself: every step runs where its rows are."""

    def __init__(self, connection: duckdb.DuckDBPyConnection) -> None:
        self._connection = connection

    def run(self, step: str) -> None:
        """Run one SQL file."""
        self._connection.execute(sql.text(step))

    def learn(self, macros: str) -> None:
        """Do nothing: the steps see them."""

    def fetch(self, table: str) -> None:
        """Do nothing: the rows are here."""

    def give(self, table: str) -> None:
        """Do nothing: the steps see it."""


@contextmanager
def here(connection: duckdb.DuckDBPyConnection) -> Iterator[Engine]:
    """Give the engine of one machine."""
    yield Here(connection)


def spark_at(master: str) -> OpensEngine:
    """Return what opens Spark's engine at a master, such as local[2] or spark://HOST:7077.

    Raises LoadError when Spark is not installed.
    """
    try:
        from etl.engines.spark import on_spark
    except ImportError as missing:
        raise LoadError(
            f"--engine spark needs its extra ({missing.name} is not installed): "
            "pip install 'ohmhours[spark]'"
        ) from None
    return partial(on_spark, master=master)
