"""One database file per version and a pointer to the newest: readers never see half a load.

The folder of a database holds CURRENT (the name of the published file), the last three versions,
writer.lock, unit.key and ohmhours.toml.
"""

import os
import secrets
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

import duckdb

from etl.folder.errors import PublishError, cannot_write, write_failure
from etl.folder.versions import POINTER, current, new_name, pointed, versions
from etl.folder.writer_lock import Busy, only_writer, remove_unfinished

__all__ = ["Busy", "PublishError", "building", "current", "only_writer", "point_to", "sync"]

KEPT_VERSIONS = 3
ATTEMPTS = 20  # a tenth of a second apart: some systems refuse to replace a file being read


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
        message = write_failure(folder, target, error)
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
    sync(target)
    version = folder / new_name(folder)
    os.replace(target, version)
    try:
        sync(folder)
        point_to(folder, version.name)
    except (OSError, KeyboardInterrupt):
        if pointed(folder) != version.name:
            with suppress(OSError):
                version.unlink()
        raise
    _prune(folder, keep=version)


def point_to(folder: Path, name: str) -> None:
    """Make a version the published one, in one step that a power cut does not undo."""
    draft = folder / f"{POINTER}.{secrets.token_hex(4)}"
    draft.write_text(name + "\n", encoding="utf-8")
    sync(draft)
    for attempt in range(1, ATTEMPTS + 1):
        try:
            os.replace(draft, folder / POINTER)
            break
        except PermissionError:
            if attempt == ATTEMPTS:
                raise
            time.sleep(0.1)
    with suppress(OSError):
        sync(folder)


def sync(path: Path) -> None:
    """Bring a file or a folder to the disk."""
    if os.name == "nt":  # there a folder cannot be opened, and a file only for writing
        return
    descriptor = os.open(path, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def _prune(folder: Path, keep: Path) -> None:
    """Remove all but the newest versions; one in use on a system that forbids it waits."""
    others = [path for path in versions(folder) if path != keep]
    for path in others[KEPT_VERSIONS - 1 :]:
        with suppress(OSError):
            path.unlink()
