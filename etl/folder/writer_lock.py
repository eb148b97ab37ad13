"""One writer at a time, by a lock that the system frees when its holder dies."""

import os
import shutil
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from datetime import UTC, datetime
from io import FileIO
from pathlib import Path

from etl.folder.errors import PublishError, cannot_write
from etl.folder.versions import POINTER, is_there, number, pointed, versions

LOCK = "writer.lock"
FAR_BYTE = 1 << 30  # locked in place of the text, which others must be able to read


class Busy(PublishError):
    """Another load is writing."""


@contextmanager
def only_writer(folder: Path) -> Iterator[None]:
    """Hold the folder's writer lock; what an earlier, killed load left there is removed first.

    The folder is made when it is missing. Raises Busy, with process and start of the holder,
    when another load is running; PublishError when the folder cannot be written to.
    """
    file = _opened(folder)
    with file:
        try:
            lock(file)
        except OSError:
            file.seek(0)
            holder = file.read(200).decode("utf-8", "replace").strip() or "it has just started"
            raise Busy(
                f"another load is writing to {folder} ({holder}); wait until it has finished"
            ) from None
        _name_holder(folder, file)
        remove_unfinished(folder)
        _remove_unpublished(folder)
        yield


def remove_unfinished(folder: Path, name: str = "building-") -> None:
    """Remove what unfinished loads left: databases, their logs and spill folders, pointers."""
    for left_over in [*folder.glob(f"{name}*"), *folder.glob(f"{POINTER}.*")]:
        with suppress(OSError):
            if left_over.is_dir() and not left_over.is_symlink():
                shutil.rmtree(left_over, ignore_errors=True)
            else:
                left_over.unlink()


def _remove_unpublished(folder: Path) -> None:
    """Remove a version whose load was killed just before the pointer named it."""
    name = pointed(folder) or ""
    if not is_there(folder, name):
        return
    for path in versions(folder):
        if number(path.name) > number(name):
            with suppress(OSError):
                path.unlink()


def _opened(folder: Path) -> FileIO:
    try:
        folder.mkdir(parents=True, exist_ok=True)
        return (folder / LOCK).open("a+b", buffering=0)
    except OSError as error:
        raise PublishError(cannot_write(folder, error)) from None


def _name_holder(folder: Path, file: FileIO) -> None:
    text = f"process {os.getpid()}, since {datetime.now(UTC):%Y-%m-%d %H:%M:%S} UTC\n"
    try:
        file.truncate(0)
        file.write(text.encode())
    except OSError as error:
        raise PublishError(cannot_write(folder, error)) from None


def lock(file: FileIO) -> None:
    """Lock a file for this process, or raise OSError when another holds it."""
    if sys.platform == "win32":
        import msvcrt

        file.seek(FAR_BYTE)
        msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)
    else:
        import fcntl

        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
