"""Files damaged, cut short, foreign, gone; a clock that goes back; two loads at once."""

import os
import sqlite3
import time
from contextlib import AbstractContextManager
from datetime import datetime, timedelta
from pathlib import Path
from unittest.mock import patch

import duckdb

import sql
from dashboard.database.query import run
from dashboard.database.snapshot import take
from dashboard.database.version import find
from etl.folder import versions
from etl.folder.publish import only_writer
from etl.raw import store
from tests.trust.fault_shop import FaultShop, shop

REMEDY = "bring a backup back (ohmhours restore FILE), or go back to the version before it"
FIRST_BLOCK = 3 * 4096  # bytes, of a DuckDB file: three headers come before


def file_damaged(place: Path, moments: int) -> None:
    """Turn bytes all over the published file, place after place."""
    made = shop(place)
    whole = made.published().read_bytes()
    step = len(whole) // moments
    for start in range(0, len(whole), step):
        spoilt = bytearray(whole)
        spoilt[start : start + 64] = bytes(255 - byte for byte in spoilt[start : start + 64])
        _never_a_wrong_number(made, bytes(spoilt))
    _undone_and_gone_on(made, _with_a_damaged_block(whole))


def file_cut_short(place: Path, moments: int) -> None:
    """Cut the published file at places all over it, the empty file among them."""
    made = shop(place)
    whole = made.published().read_bytes()
    for kept in range(0, len(whole), len(whole) // moments):
        _never_a_wrong_number(made, whole[:kept])
    _undone_and_gone_on(made, whole[: 2 * FIRST_BLOCK])  # not one block is left whole


def file_of_another_program(place: Path, moments: int) -> None:
    """Put text, a database of another kind, and a DuckDB file of another program in its place."""
    for content in (b"no database at all", _sqlite_file(place), _duckdb_file(place)):
        made = shop(place / str(len(content)))
        _undone_and_gone_on(made, content)


def newest_version_gone(place: Path, moments: int) -> None:
    """Delete the file that the pointer names."""
    _undone_and_gone_on(shop(place), None)


def pointer_deleted(place: Path, moments: int) -> None:
    """Delete the pointer: the newest version counts, by its number."""
    made = shop(place)
    (made.folder / "CURRENT").unlink()
    made.must_serve(2)
    made.must_go_on()


def pointer_deleted_while_read(place: Path, moments: int) -> None:
    """Delete the pointer between one question and the next, and bring it back, many times."""
    made = shop(place)
    snapshot = take(made.folder)
    content = (made.folder / "CURRENT").read_bytes()
    for moment in range(moments):
        (made.folder / "CURRENT").unlink()
        assert sorted(run(snapshot, "pages/jobs")["job_id"]) == ["J1", "J2"]
        made.must_serve(2)
        (made.folder / "CURRENT").write_bytes(content if moment % 2 else content.strip())
        made.must_serve(2)
    made.must_go_on()


def pointer_garbled(place: Path, moments: int) -> None:
    """Write what is no version's name into the pointer."""
    for content in (b"", b"\xff\xfe\0", b"../db/unit.key", b"warehouse-000009-x.duckdb"):
        made = shop(place / content.hex())
        (made.folder / "CURRENT").write_bytes(content)
        made.must_serve(2)
        _load_is_refused(made, "ohmhours undo")
        assert made.run("undo") == ""
        made.must_serve(2)
        made.must_go_on()


def key_lost(place: Path, moments: int) -> None:
    """Delete the key, then damage it; the backup brings it back."""
    made = shop(place)
    assert made.run("backup", place / "shop.zip") == ""
    for spoil in (Path.unlink, lambda path: path.write_text("no key")):
        spoil(made.folder / "unit.key")
        made.must_serve(2)
        _load_is_refused(made, "bring it back from a backup (ohmhours restore FILE)")
        assert made.run("restore", place / "shop.zip", "--replace") == ""
        made.must_serve(2)
    made.must_go_on()


def clock_moved_back(place: Path, moments: int) -> None:
    """Let the clock fall back: an hour does not matter, a month is reported; no order depends on it."""
    made = shop(place)
    for path in made.folder.glob("warehouse-*"):
        os.utime(path, (time.time() + 86_400,) * 2)
    with _clock_back(timedelta(seconds=5)):
        made.load()
    with _clock_back(timedelta(days=30)):
        _load_is_refused(made, "the last load was on")
    _rows_wait_for_their_day(place / "new")
    made.must_serve(made.loaded)
    (made.folder / "CURRENT").unlink()
    made.must_serve(made.loaded)
    made.must_go_on()


def _rows_wait_for_their_day(place: Path) -> None:
    """Load for the first time by a clock years behind: once it is right, the same file helps."""
    made = FaultShop(place)
    place.mkdir()
    with _clock_back(timedelta(days=3650)):
        assert made.run("load", export := made.export(1)) == ""
        assert made.served() == []
    assert made.run("load", export) == ""
    made.must_serve(1)


def two_loads_at_once(place: Path, moments: int) -> None:
    """Start a load while another writes: the second is shown who writes, and since when."""
    made = shop(place)
    with only_writer(made.folder):
        _load_is_refused(made, f"(process {os.getpid()}, since ")
    made.must_go_on()


def older_program(place: Path, moments: int) -> None:
    """Take a database of the schema before: the next load rebuilds it, with a notice."""
    made = shop(place)
    _say_schema(made, str(int(sql.SCHEMA_VERSION) - 1), of_all=True)
    assert "ohmhours load with any export" in made.run("measure", "callbacks")
    made.must_go_on()


def newer_program(place: Path, moments: int) -> None:
    """Take a database that a newer version of the program made."""
    made = shop(place)
    _say_schema(made, str(int(sql.SCHEMA_VERSION) + 1))
    made.must_serve(1)
    assert "update the program" in made.run("measure", "callbacks")
    _load_is_refused(made, "update the program")
    _say_schema(made, sql.SCHEMA_VERSION)
    _renamed(made, made.published())
    made.must_serve(2)
    made.must_go_on()


def _never_a_wrong_number(made: FaultShop, content: bytes) -> None:
    """Hold the pages to the right jobs, of this version or, with a notice, of the one before."""
    path = _renamed(made, made.published())
    path.write_bytes(content)
    try:
        jobs = made.served()
    except versions.Damaged:  # a page is drawn again, a command run again
        jobs = made.served()
    if find(made.folder).notice:
        assert REMEDY in find(made.folder).notice
    assert jobs == (["J1"] if find(made.folder).notice else ["J1", "J2"])


def _undone_and_gone_on(made: FaultShop, content: bytes | None) -> None:
    """Spoil the newest version: the one before is shown; follow the remedy; nothing is lost."""
    path = _renamed(made, made.published())
    path.unlink() if content is None else path.write_bytes(content)
    assert REMEDY in made.run("measure", "callbacks")
    assert made.served() == ["J1"]
    _load_is_refused(made, "ohmhours undo")
    assert made.run("undo") == ""
    made.loaded = 1
    made.must_go_on()  # what came since is loaded again
    made.must_go_on()


def _renamed(made: FaultShop, path: Path) -> Path:
    """Give the newest version a name that no reader of this process knows."""
    fresh = path.with_name(versions.new_name(made.folder))
    os.replace(path, fresh)
    (made.folder / "CURRENT").write_text(fresh.name, encoding="utf-8")
    return fresh


def _load_is_refused(made: FaultShop, words: str) -> None:
    before = made.files()
    message = made.run("load", made.export(99))
    assert words in message, message
    assert message.count("\n") <= 2, message
    assert made.files() == before


def _with_a_damaged_block(whole: bytes) -> bytes:
    spoilt = bytearray(whole)
    spoilt[FIRST_BLOCK : FIRST_BLOCK + 64] = bytes(64)
    return bytes(spoilt)


def _sqlite_file(place: Path) -> bytes:
    path = place / "other.sqlite"
    place.mkdir(parents=True, exist_ok=True)
    with sqlite3.connect(path) as connection:
        connection.execute("CREATE TABLE numbers (number INTEGER)")
    connection.close()
    return path.read_bytes()


def _duckdb_file(place: Path) -> bytes:
    path = place / "other.duckdb"
    with duckdb.connect(str(path)) as connection:
        connection.execute("CREATE TABLE numbers (number INTEGER)")
    return path.read_bytes()


def _say_schema(made: FaultShop, version: str, *, of_all: bool = False) -> None:
    for path in versions.versions(made.folder) if of_all else [made.published()]:
        copy = _copied_aside(made, path)
        with duckdb.connect(str(copy)) as connection:
            connection.execute(
                "UPDATE core.settings SET value = $version WHERE key = 'schema_version'",
                {"version": version},
            )
        os.replace(copy, path)


def _copied_aside(made: FaultShop, path: Path) -> Path:
    copy = made.place / f"{path.stem}-{time.monotonic_ns()}.duckdb"
    copy.write_bytes(path.read_bytes())
    return copy


def _clock_back(gap: timedelta) -> AbstractContextManager:
    class Clock(datetime):
        @classmethod
        def now(cls, tz=None):
            return datetime.now(tz) - gap

    return patch.object(store, "datetime", Clock)
