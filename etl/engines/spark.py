"""A load's SELECTs on Apache Spark: past what one machine can do.

DuckDB lands the raw rows, keeps the schema (types, keys, checks, macros) and the published file.
Spark reads the tables as Parquet, runs every SELECT of sql/, and writes what it gives as Parquet,
all in a work folder next to the new file, which every worker must see.
"""

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import duckdb
from py4j.protocol import Py4JError
from pyspark.errors import PySparkException
from pyspark.sql import SparkSession
from sqlglot import exp

import sql
from etl.engines.base import Engine, file_of
from etl.engines.spark_dialect import Macros, statements, to_spark
from etl.raw.store import LoadError

SCHEMAS = ("raw", "lookups", "shop", "staged", "core")
SAID_ALIKE = {  # so that both engines mean the same by the same words
    "spark.sql.ansi.enabled": "true",
    "spark.sql.session.timeZone": "UTC",
    "spark.sql.timestampType": "TIMESTAMP_NTZ",
}
FULL_TABLES = (  # before the first step
    "SELECT schema_name || '.' || table_name FROM duckdb_tables() "
    "WHERE database_name = current_database() ORDER BY ALL"
)


@contextmanager
def on_spark(connection: duckdb.DuckDBPyConnection, master: str) -> Iterator[Engine]:
    """Give Spark's engine for a load into the file of the connection.

    When the block ends well the rows of core are in the file; the work folder is removed either
    way. Raises LoadError with what Spark said.
    """
    folder = Path(f"{file_of(connection)}.spark").absolute()
    folder.mkdir()
    try:
        with _session(master, folder) as spark:
            engine = SparkEngine(spark, connection, folder)
            for (table,) in connection.execute(FULL_TABLES).fetchall():
                engine.give(table)
            yield engine
            engine.fetch_core()
    except (PySparkException, Py4JError) as problem:
        reason = str(problem).strip().splitlines()[0][:300]
        raise LoadError(f"Spark at {master} failed: {reason}; nothing was published") from problem
    finally:
        shutil.rmtree(folder, ignore_errors=True)


@contextmanager
def _session(master: str, folder: Path) -> Iterator[SparkSession]:
    """Give a session with empty schemas; a session that runs already is used and left running."""
    if not (os.environ.get("JAVA_HOME") or shutil.which("java")):
        raise LoadError("--engine spark needs Java 17 or newer: install it or set JAVA_HOME")
    running = SparkSession.getActiveSession()
    builder = SparkSession.builder.master(master).appName("ohmhours")
    builder = builder.config("spark.sql.catalogImplementation", "in-memory")
    builder = builder.config("spark.sql.warehouse.dir", str(folder / "warehouse"))
    spark = running or builder.getOrCreate()
    try:
        spark.sparkContext.setLogLevel("FATAL")  # what goes wrong comes back as an exception
        for key, value in SAID_ALIKE.items():
            spark.conf.set(key, value)
        for schema in SCHEMAS:
            spark.sql("CREATE DATABASE IDENTIFIER(:schema)", {"schema": schema})
        yield spark
    finally:
        if running is None:
            spark.stop()
        else:
            for schema in SCHEMAS:
                spark.sql("DROP DATABASE IF EXISTS IDENTIFIER(:schema) CASCADE", {"schema": schema})


class SparkEngine:
    """Runs the steps of a load: SELECTs on Spark, everything else in the new file."""

    def __init__(
        self, spark: SparkSession, connection: duckdb.DuckDBPyConnection, folder: Path
    ) -> None:
        self._spark, self._connection, self._folder = spark, connection, folder
        self._macros = Macros()
        self._filled: list[str] = []

    def run(self, step: str) -> None:
        """Run one SQL file: Spark fills the tables, DuckDB keeps them empty until the end."""
        written = sql.text(step)
        for text, tree in zip(duckdb.extract_statements(written), statements(written), strict=True):
            if isinstance(tree, exp.Insert):
                self._fill(tree)
                continue
            if isinstance(tree, exp.Create) and tree.kind == "MACRO":
                self._macros.learn(tree)
                self._connection.execute(text.query)
                continue
            self._connection.execute(_without_rows(text.query, tree))
            if isinstance(tree, exp.Create) and isinstance(tree.expression, exp.Query):
                self._fill(tree)

    def learn(self, macros: str) -> None:
        """Know the macros of one SQL file, so that they are written out where they are called."""
        for tree in statements(sql.text(macros)):
            if isinstance(tree, exp.Create):
                self._macros.learn(tree)

    def _fill(self, tree: exp.Create | exp.Insert) -> None:
        table = f"{tree.this.db}.{tree.this.name}"
        rows = self._spark.sql(to_spark(self._macros.written_out(tree.expression)))
        rows.write.parquet(str(self._place(table)))
        self._name(table)
        if not (isinstance(tree, exp.Create) and tree.kind == "VIEW"):
            self._filled.append(table)

    def _place(self, table: str) -> Path:
        return self._folder / table

    def _name(self, table: str) -> None:
        self._spark.catalog.createTable(table, path=str(self._place(table)), source="parquet")

    def give(self, table: str) -> None:
        """Make a table of the new file known to Spark."""
        self._place(table).mkdir()
        self._connection.table(table).write_parquet(str(self._place(table) / "rows.parquet"))
        self._name(table)

    def fetch(self, table: str) -> None:
        """Bring a table that Spark filled into the new file, in the order in which it wrote it."""
        columns = self._connection.table(table).columns
        rows = self._connection.read_parquet(str(self._place(table) / "*.parquet"))
        rows.select(*map(duckdb.ColumnExpression, columns)).insert_into(table)

    def fetch_core(self) -> None:
        """Bring every table of core into the new file."""
        for table in self._filled:
            if table.startswith("core."):
                self.fetch(table)


def _without_rows(text: str, tree: exp.Expr) -> str:
    """Return CREATE TABLE … AS as one that makes the table and leaves it empty."""
    is_table = isinstance(tree, exp.Create) and tree.kind == "TABLE"
    is_filled = is_table and isinstance(tree.expression, exp.Query)
    return f"{text.rstrip().rstrip(';')} WITH NO DATA" if is_filled else text
