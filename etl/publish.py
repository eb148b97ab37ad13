"""One database file per version and a pointer to the newest: readers never see half a load.

The folder of a database holds CURRENT (the name of the published file), the last three versions,
writer.lock, unit.key and ohmhours.toml.
"""

import os
import re
import secrets
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from datetime import UTC, datetime
from pathlib import Path

import duckdb

from etl.publish_errors import PublishError, cannot_write, told
from etl.writer_lock import POINTER, Busy, only_writer, remove_unfinished

__all__ = ["Busy", "PublishError", "building", "current", "only_writer"]

VERSION = re.compile(r"warehouse-[\w-]{1,80}\.duckdb")
KEPT_VERSIONS = 3
ATTEMPTS = 20  # a tenth of a second apart: some systems refuse to replace a file being read


def current(folder: Path) -> Path | None:
    """Return the published file of a database folder, None when nothing was published yet.

    Raises PublishError when the pointer names a file that is gone.
    """
    name = _pointed(folder)
    if name and not _is_there(folder, name):
        name = _pointed(folder)  # a slow reader: versions were published and pruned meanwhile
    if name is None:
        return None
    if not _is_there(folder, name):
        raise PublishError(
            f"{folder / POINTER} names {name[:80]!a}, which is not there; restore it from a "
            f"backup, or delete {POINTER} and load the files again"
        )
    return folder / name


def _is_there(folder: Path, name: str) -> bool:
    return VERSION.fullmatch(name) is not None and (folder / name).is_file()


def _pointed(folder: Path) -> str | None:
    try:
        return (folder / POINTER).read_text(encoding="utf-8", errors="replace").strip()
    except (FileNotFoundError, NotADirectoryError):
        return None
    except OSError as error:
        raise PublishError(
            f"{folder / POINTER}: cannot be read ({error.strerror}); check its permissions"
        ) from None


@contextmanager
def building(folder: Path) -> Iterator[Path]:
    """Give the path for a new version; publish it when the block ends well, else remove it.

    The block must have closed the database. Raises PublishError on a full disk or a read-only
    folder; then the last version stands as it was. Errors of the block itself pass through.
    """
    target = folder / f"building-{secrets.token_hex(4)}.duckdb"
    is_built = False
    try:
        yield target
        is_built = True
        _publish(folder, target)
    except (OSError, duckdb.Error) as error:
        message = told(folder, target, error)
        if message is None and not is_built:
            raise
        raise PublishError(message or cannot_write(folder, error)) from error
    finally:
        remove_unfinished(folder, target.name)


def _publish(folder: Path, target: Path) -> None:
    if target.with_name(f"{target.name}.wal").exists():
        raise PublishError(
            f"{target}: still open or not checkpointed, so it was not published; "
            "close the database before the block ends"
        )
    _sync(target)
    version = folder / f"warehouse-{datetime.now(UTC):%Y%m%dT%H%M%SZ}-{secrets.token_hex(4)}.duckdb"
    os.replace(target, version)
    try:
        _sync(folder)
        _point_to(folder, version.name)
    except OSError:
        with suppress(OSError):
            version.unlink()
        raise
    with suppress(OSError):
        _sync(folder)
    _prune(folder, keep=version)


def _point_to(folder: Path, name: str) -> None:
    draft = folder / f"{POINTER}.{secrets.token_hex(4)}"
    draft.write_text(name + "\n", encoding="utf-8")
    _sync(draft)
    for attempt in range(1, ATTEMPTS + 1):
        try:
            os.replace(draft, folder / POINTER)
            return
        except PermissionError:
            if attempt == ATTEMPTS:
                raise
            time.sleep(0.1)


def _sync(path: Path) -> None:
    if os.name == "nt":  # there a folder cannot be opened, and a file only for writing
        return
    descriptor = os.open(path, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def _prune(folder: Path, keep: Path) -> None:
    """Remove all but the newest versions; one in use on a system that forbids it waits."""
    aged = []
    for path in folder.glob("warehouse-*.duckdb"):
        with suppress(OSError):
            if path != keep:
                aged.append((path.stat().st_mtime_ns, path))
    for _, path in sorted(aged, reverse=True)[KEPT_VERSIONS - 1 :]:
        with suppress(OSError):
            path.unlink()
