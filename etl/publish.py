"""One database file per version and a pointer to the newest: readers never see half a load.

The folder of a database holds CURRENT (the name of the published file), the last three versions,
writer.lock, unit.key and ohmhours.toml.
"""

import errno
import os
import secrets
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from datetime import UTC, datetime
from pathlib import Path

import duckdb

POINTER = "CURRENT"
LOCK = "writer.lock"
KEPT_VERSIONS = 3


class PublishError(Exception):
    """The folder cannot take a new version; the last one stands as it was."""


class Busy(PublishError):
    """Another load is writing."""


def current(folder: Path) -> Path | None:
    """Return the published file of a database folder, None when nothing was published yet.

    Raises PublishError when the pointer names a file that is gone.
    """
    try:
        name = (folder / POINTER).read_text(encoding="utf-8").strip()
    except (FileNotFoundError, NotADirectoryError):
        return None
    path = folder / name
    if not path.is_file():
        raise PublishError(
            f"{folder / POINTER} names {name}, which is gone; restore it from a backup, "
            f"or delete {POINTER} and load the files again"
        )
    return path


@contextmanager
def only_writer(folder: Path) -> Iterator[None]:
    """Hold the folder's writer lock; it is freed by the system even when the process is killed.

    Raises Busy, with who holds it, when another load is running.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
        file = (folder / LOCK).open("a+b")
    except OSError as error:
        raise PublishError(_cannot_write(folder, error)) from None
    try:
        try:
            _lock(file)
        except OSError:
            file.seek(0)
            holder = file.read(200).decode("utf-8", "replace").strip() or "unknown"
            raise Busy(
                f"another load is writing to {folder} ({holder}); wait until it has finished"
            ) from None
        file.seek(0)
        file.truncate()
        file.write(f"process {os.getpid()}, since {datetime.now(UTC):%Y-%m-%d %H:%M} UTC".encode())
        file.flush()
        for left_over in folder.glob("building-*"):
            with suppress(OSError):
                left_over.unlink()
        yield
    finally:
        file.close()


def _lock(file: object) -> None:
    if os.name == "nt":
        import msvcrt

        file.seek(0)
        msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)
    else:
        import fcntl

        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)


@contextmanager
def building(folder: Path) -> Iterator[Path]:
    """Give the path for a new version; publish it when the block ends well, else remove it.

    The block must have closed the database. Raises PublishError on a full disk or a read-only
    folder; then the last version stands as it was.
    """
    target = folder / f"building-{secrets.token_hex(4)}.duckdb"
    try:
        yield target
        _publish(folder, target)
    except (OSError, duckdb.IOException, duckdb.FatalException) as error:
        raise PublishError(_cannot_write(folder, error)) from error
    finally:
        for left_over in folder.glob(f"{target.name}*"):
            with suppress(OSError):
                left_over.unlink()


def _publish(folder: Path, target: Path) -> None:
    _sync(target)
    name = f"warehouse-{datetime.now(UTC):%Y%m%dT%H%M%S}-{secrets.token_hex(4)}.duckdb"
    os.replace(target, folder / name)
    _sync(folder)
    pointer = folder / f"{POINTER}.{secrets.token_hex(4)}"
    pointer.write_text(name + "\n", encoding="utf-8")
    _sync(pointer)
    _replace_patiently(pointer, folder / POINTER)
    _sync(folder)
    _prune(folder, keep=folder / name)


def _sync(path: Path) -> None:
    if path.is_dir() and os.name == "nt":
        return
    descriptor = os.open(path, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def _replace_patiently(source: Path, target: Path) -> None:
    """Replace a file that readers open for an instant: some systems refuse while it is open."""
    for attempt in range(20):
        try:
            os.replace(source, target)
            return
        except PermissionError:
            if attempt == 19:
                raise
            time.sleep(0.1)


def _prune(folder: Path, keep: Path) -> None:
    versions = sorted(
        (path for path in folder.glob("warehouse-*.duckdb") if path != keep),
        key=lambda path: path.stat().st_mtime,
        reverse=True,
    )
    for path in versions[KEPT_VERSIONS - 1 :]:
        with suppress(OSError):
            path.unlink()


def _cannot_write(folder: Path, error: Exception) -> str:
    is_full = getattr(error, "errno", None) in (errno.ENOSPC, errno.EFBIG, errno.EDQUOT) or (
        "No space left" in str(error) or "Could not write" in str(error)
    )
    if is_full:
        return f"{folder}: the disk is full; free some space and load again, nothing was changed"
    reason = getattr(error, "strerror", None) or type(error).__name__
    return f"{folder}: cannot write there ({reason}); choose another --db, nothing was changed"
