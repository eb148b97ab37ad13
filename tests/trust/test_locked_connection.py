"""The connection that pages use: it reads one file, and nothing else can be reached from it."""

import shutil
from pathlib import Path

import duckdb
import pandas as pd
import pytest

from dashboard.database import connection as connections
from dashboard.database import version as versions
from tests import ask
from tests.shop_builder import shop

JOBS = """
job_id | opened_on  | closed_on  | appliance_kind | symptom | disposition
A      | 2026-01-01 | 2026-01-02 | washer         | leaks   | repaired
"""
frame_of_this_module = pd.DataFrame({"a": [1]})  # what a replacement scan would find


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shop of one job, with files next to it that a query might try to read."""
    folder = shop(tmp_path_factory.mktemp("locked"), jobs=JOBS)
    (folder / "secret.csv").write_text("a,b\n1,2\n", encoding="utf-8")
    shutil.copy(versions.version(folder), folder / "other.duckdb")
    return folder


@pytest.fixture(scope="module")
def connection(folder: Path) -> duckdb.DuckDBPyConnection:
    """The very connection that a page's query uses."""
    assert len(ask.run(folder, "pages/jobs")) == 1
    return connections.connection(versions.version(folder)).cursor()


FILES = {  # each works on an open connection (tested below), so that its refusal here is a lock
    "read_csv": "SELECT * FROM read_csv('{folder}/secret.csv')",
    "read_text": "SELECT * FROM read_text('{folder}/secret.csv')",
    "read_blob": "SELECT * FROM read_blob('{folder}/unit.key')",
    "read_parquet": "SELECT * FROM read_parquet('{folder}/out.parquet')",
    "sniff_csv": "SELECT * FROM sniff_csv('{folder}/secret.csv')",
    "glob": "SELECT * FROM glob('{folder}/*')",
    "a file as a table": "SELECT * FROM '{folder}/secret.csv'",
    "ATTACH": "ATTACH '{folder}/other.duckdb' AS another (READ_ONLY)",
    "ATTACH new": "ATTACH '{folder}/new.duckdb' AS new",
    "COPY TO": "COPY (SELECT 1 AS a) TO '{folder}/out.csv'",
    "COPY TO Parquet": "COPY (SELECT 1 AS a) TO '{folder}/out.parquet' (FORMAT parquet)",
    "EXPORT": "EXPORT DATABASE '{folder}/export'",
    "SET": "SET threads = 1",
    "SET GLOBAL": "SET GLOBAL enable_external_access = true",
    "RESET": "RESET threads",
    "PRAGMA": "PRAGMA memory_limit = '1GB'",
    "SET home": "SET home_directory = '/tmp'",
    "SET extensions": "SET extension_directory = '/tmp'",
    "unlock": "SET lock_configuration = false",
    "CREATE": "CREATE TABLE core.mine (a INTEGER)",
    "CREATE OR REPLACE": "CREATE OR REPLACE TABLE core.jobs AS SELECT 1 AS a",
    "INSERT": "INSERT INTO core.settings VALUES ('a', 'b')",
    "UPDATE": "UPDATE core.settings SET value = '0'",
    "DELETE": "DELETE FROM core.settings",
    "DROP": "DROP TABLE core.unknown_words",
    "ALTER": "ALTER TABLE core.settings ADD COLUMN more VARCHAR",
    "INSTALL": "INSTALL httpfs",
    "LOAD": "LOAD httpfs",
    "INSTALL from a place": "INSTALL mine FROM '{folder}'",
    "LOAD a file": "LOAD '{folder}/mine.duckdb_extension'",
    "the network": "SELECT * FROM read_csv('http://127.0.0.1:9/a.csv')",
    "secrets": "CREATE SECRET (TYPE http, BEARER_TOKEN 'x')",
    "replacement scan": "SELECT * FROM frame_of_this_module",
    "replacement scan of a local": "SELECT * FROM frame_of_this_function",
}
WORKS_NOWHERE = {  # needs a network, an extension or a file that is not there: no control
    "read_parquet", "INSTALL", "LOAD", "INSTALL from a place", "LOAD a file", "the network",
    "secrets", "SET GLOBAL", "replacement scan", "replacement scan of a local",
}  # fmt: skip


@pytest.mark.parametrize("what", FILES)
def test_nothing_but_the_database_can_be_reached(what: str, folder: Path, connection):
    frame_of_this_function = pd.DataFrame({"a": [1]})
    before = {path.name: path.stat().st_size for path in folder.iterdir()}
    with pytest.raises(duckdb.Error):
        connection.execute(FILES[what].format(folder=folder)).fetchall()
    assert {path.name: path.stat().st_size for path in folder.iterdir()} == before
    assert len(frame_of_this_function) == 1
    assert connection.execute("SELECT count(*) FROM core.jobs").fetchall() == [(1,)]


@pytest.mark.parametrize("what", [what for what in FILES if what not in WORKS_NOWHERE])
def test_the_same_works_without_the_lock(what: str, folder: Path, tmp_path: Path):
    """Else the refusals above might be mistakes of writing."""
    shutil.copytree(folder, tmp_path / "db")
    shutil.copy(folder / "other.duckdb", tmp_path)
    with duckdb.connect(str(tmp_path / "other.duckdb")) as free:
        free.execute(FILES[what].format(folder=tmp_path / "db"))


def test_a_frame_of_python_is_a_table_only_without_the_lock():
    with duckdb.connect() as free:
        assert free.execute("SELECT a FROM frame_of_this_module").fetchall() == [(1,)]


def test_the_lock_is_on_every_version_that_opens(folder: Path, connection):
    names = ("enable_external_access", "lock_configuration", "python_enable_replacements")
    held = {
        name: connection.execute("SELECT current_setting($name)", {"name": name}).fetchall()[0][0]
        for name in (*names, "autoload_known_extensions", "autoinstall_known_extensions")
    }
    assert held == dict.fromkeys(held, False) | {"lock_configuration": True}
    assert connection.execute(
        "SELECT readonly FROM duckdb_databases() WHERE NOT internal"
    ).fetchall() == [(True,)]


def test_what_a_session_makes_for_itself_is_gone_with_it(folder: Path, connection):
    """A read-only file allows temporary tables: no other session sees them and they are never stored."""
    connection.execute("CREATE TEMP TABLE mine AS SELECT 1 AS a")
    other = connections.connection(versions.version(folder)).cursor()
    connection.execute("DROP TABLE mine")
    with pytest.raises(duckdb.Error):
        other.execute("SELECT * FROM mine")
