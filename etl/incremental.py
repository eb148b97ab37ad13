"""A new export added to a large version: only the jobs that it touches are rebuilt.

The touched jobs are built by the ordinary steps in two small databases, without the new rows and
with them, and take their place in a copy of the last version. Where new rows can change what other
jobs say (sql/incremental/can_add.sql), everything is built as usual.
"""

import hashlib
import shutil
from collections.abc import Callable
from functools import cache
from importlib.resources import files
from pathlib import Path

import duckdb

import sql
from etl.folder.integrity import fault
from etl.folder.schema import settings_of
from etl.raw.own_limits import land_shop_tables, own_limits, own_meters

LARGE_BYTES = 64 * 1024 * 1024  # below it, building everything takes a few seconds
LAST_SOURCE = 2**31 - 1  # the largest that the column holds
# the steps that weigh a job against all others: new rows can change what they say of any job
WHOLE_SHOP_STEPS = (
    "core/suspects",
    "core/cause_chances",
    "core/test_chances",
    "core/evidence_patterns",
    "core/part_evidence",
    "core/job_patterns",
)
Build = Callable[[duckdb.DuckDBPyConnection], None]


@cache
def program() -> str:
    """Return a hash of everything that decides what a record means: the code and SQL of a load."""
    digest = hashlib.sha256()
    for package in ("etl", "sql"):
        for path in sorted(Path(str(files(package))).rglob("*")):
            if path.suffix in (".py", ".sql", ".csv"):
                digest.update(path.read_bytes())
    return digest.hexdigest()


def begin_with(version: Path | None, target: Path, settings: dict[str, str]) -> bool:
    """Copy a large and whole version to the target, so that rows can be added to it.

    `settings` are those that the new version will have. Returns False, and copies nothing, where
    there is no such version, or where program or settings are others than those that built it.
    """
    if version is None or version.stat().st_size < LARGE_BYTES:
        return False
    if settings_of(version) != settings or fault(version):
        return False
    shutil.copyfile(version, target)
    return True


def add_touched(
    connection: duckdb.DuckDBPyConnection, old: Path, folder: Path, first_new: int, build: Build
) -> bool:
    """Rebuild the touched jobs and put them into `whole`; False where that does not do.

    `whole` is a copy of the version `old` in which the rows of sources from `first_new` on were
    landed; `build` makes core from the raw tables of the current database. On True, core of `whole`
    is what building everything would give.
    """
    connection.execute("SET VARIABLE first_new = $source_id", {"source_id": first_new})
    if not _is_same_meaning(connection, old, folder):
        return False
    connection.execute("ATTACH ':memory:' AS touched; CREATE TABLE touched.jobs (job_id VARCHAR)")
    _build_some(connection, folder, "fresh", first_new, LAST_SOURCE, build)
    connection.execute("USE whole")
    connection.execute(sql.text("incremental/touched"))
    _build_some(connection, folder, "before", 0, first_new - 1, build)
    _build_some(connection, folder, "after", 0, LAST_SOURCE, build)
    connection.execute("USE whole")
    if connection.execute(sql.text("incremental/begins_measuring")).fetchall() != [(0,)]:
        return False
    merged = ("incremental/merge", "core/dataset", "incremental/as_of")
    for step in (*merged, "incremental/drop_verdicts", *WHOLE_SHOP_STEPS):
        connection.execute(sql.text(step))
    return True


def _is_same_meaning(connection: duckdb.DuckDBPyConnection, old: Path, folder: Path) -> bool:
    """Say whether the old rows mean what they meant: own limits, meters, mappings and words."""
    connection.execute("ATTACH $path AS old (READ_ONLY)", {"path": str(old)})
    is_same = (
        connection.table("old.shop.limits").to_arrow_table().equals(own_limits(folder))
        and connection.table("old.shop.meters").to_arrow_table().equals(own_meters(folder))
        and connection.execute(sql.text("incremental/can_add")).fetchall() == [(True,)]
    )
    connection.execute("DETACH old")
    return is_same


USE = {name: f"ATTACH ':memory:' AS {name}; USE {name}" for name in ("fresh", "before", "after")}


def _build_some(
    connection: duckdb.DuckDBPyConnection,
    folder: Path,
    name: str,
    from_source: int,
    until_source: int,
    build: Build,
) -> None:
    """Build a small database of the new sources, or of all that the touched jobs have."""
    connection.execute(USE[name])
    connection.execute(sql.text("raw/tables"))
    connection.execute("SET VARIABLE from_source = $first", {"first": from_source})
    connection.execute("SET VARIABLE until_source = $last", {"last": until_source})
    connection.execute(sql.text("incremental/fill"))
    land_shop_tables(connection, folder)
    build(connection)
