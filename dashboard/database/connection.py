"""Each version is opened once, read-only and locked down: no file, network or setting is reachable.

The only file of the dashboard that opens the database.
"""

from collections import deque
from functools import lru_cache
from pathlib import Path
from threading import Lock

import duckdb

from dashboard.database import version as versions
from dashboard.database.cache import forget_versions
from dashboard.database.version import Damaged, Found, NoData, NothingLoaded

VERSIONS_HELD = 2  # the published one, and the one before it for pages that still read it
_held: deque[Path] = deque(maxlen=VERSIONS_HELD)
_locking_down = Lock()  # pages run in threads: two can meet a new version at once


def open_newest(folder: Path) -> Found:
    """Return the newest version that opens; one that does not is set aside. Raises NoData."""
    while True:
        found = versions.find(folder)
        if found.path is None:
            raise NothingLoaded("nothing was loaded yet: run ohmhours load PATH, or ohmhours demo")
        try:
            connection(found.path)
            return found
        except Damaged:
            continue


@lru_cache(maxsize=VERSIONS_HELD)
def connection(path: Path) -> duckdb.DuckDBPyConnection:
    """Return the connection to a version; each query takes a cursor of it. Raises NoData."""
    if why := versions.foreign(path):
        raise Damaged(versions.set_aside(path, why))
    try:
        opened = duckdb.connect(
            str(path),
            read_only=True,
            config={
                "enable_external_access": "false",
                "autoload_known_extensions": "false",
                "autoinstall_known_extensions": "false",
                "python_enable_replacements": "false",
            },
        )
        if why := versions.other_schema(opened):
            raise Damaged(versions.set_aside(path, why))
    except duckdb.Error as error:
        shown = shown_error(path, error)
        if shown is error:  # not its content: no permission, too many open files
            shown = NoData(f"the database cannot be opened: {str(error).splitlines()[0][:300]}")
        raise shown from None
    _lock_down(opened)
    _hold(path)
    return opened


def shown_error(path: Path, error: duckdb.Error) -> Exception:
    """Return a damaged file's error as one line with the remedy, any other as it is."""
    why = versions.damage(error)
    return Damaged(versions.set_aside(path, why)) if why else error


def _hold(path: Path) -> None:
    """Hold this version and the last one before it; cached answers of others are evicted."""
    if path in _held:  # two threads met it at once, or it was opened again
        return
    _held.append(path)
    forget_versions(set(_held))


def _lock_down(opened: duckdb.DuckDBPyConnection) -> None:
    """Allow no other setting; a version that another thread holds open is locked already."""
    with _locking_down:
        found = opened.execute("SELECT current_setting('lock_configuration')").fetchall()
        if found != [(True,)]:
            opened.execute("SET TimeZone = 'UTC'; SET lock_configuration = true")
