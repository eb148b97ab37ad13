"""What every database begins with: the same for each, made again where it was cleaned away."""

import csv
from collections.abc import Iterator
from contextlib import closing
from importlib.resources import files
from pathlib import Path

import duckdb
import pytest

from etl import prepared

DERIVED = {"general_kinds", "register_words"}  # no file of their own rows, or rows added to them
ADDED_TO = {"symptoms", "causes", "repair_codes", "test_points", "components"}


@pytest.fixture
def begun() -> Iterator[duckdb.DuckDBPyConnection]:
    with closing(duckdb.connect()) as connection:
        prepared.begin(connection)
        yield connection


def rows_written(table: str) -> int:
    path = Path(str(files("sql"))) / "lookups" / f"{table}.csv"
    with path.open(encoding="utf-8", newline="") as file:
        return sum(1 for row in csv.reader(file) if row) - 1


def test_every_lookup_has_the_rows_of_its_file(begun: duckdb.DuckDBPyConnection) -> None:
    tables = begun.execute(
        "SELECT table_name FROM duckdb_tables() WHERE schema_name = 'lookups'"
    ).fetchall()
    names = {name for (name,) in tables} - DERIVED
    assert (
        names == {path.stem for path in Path(str(files("sql")), "lookups").glob("*.csv")} - DERIVED
    )
    counted = {name: len(begun.table(f"lookups.{name}").fetchall()) for name in names - ADDED_TO}
    assert counted == {name: rows_written(name) for name in names - ADDED_TO}


def test_macros_work_and_their_words_are_those_of_the_registers(
    begun: duckdb.DuckDBPyConnection,
) -> None:
    assert begun.execute("SELECT core.folded('Réfrigérateur/Combi')").fetchall() == [
        ("refrigerateur combi",)
    ]
    found = begun.execute(
        "SELECT id FROM lookups.register_words WHERE field = 'appliance_kind' AND word = 'dishwasher'"
    ).fetchall()
    assert found == [("dishwasher",)]


def test_one_database_does_not_change_the_next(begun: duckdb.DuckDBPyConnection) -> None:
    begun.execute("DELETE FROM lookups.kinds")
    with closing(duckdb.connect()) as another:
        prepared.begin(another)
        assert len(another.table("lookups.kinds").fetchall()) == rows_written("kinds")


def test_a_file_that_was_cleaned_away_is_made_again(begun: duckdb.DuckDBPyConnection) -> None:
    file = prepared._prepared()
    assert prepared._prepared() == file
    file.unlink()
    file.parent.rmdir()
    with closing(duckdb.connect()) as another:
        prepared.begin(another)
    assert prepared._prepared() != file
