"""A backup restored in one step; and the step back to the version before the last load."""

import errno
import glob
import hashlib
import os
import secrets
import shutil
import zipfile
import zlib
from contextlib import suppress
from pathlib import Path

from etl.backup_parts import (
    CONTENTS,
    DATABASE,
    MOST_OTHER_BYTES,
    BackupError,
    Part,
    check_other_files,
    parts_of,
)
from etl.folder.integrity import fault
from etl.folder.publish import only_writer, point_to, sync
from etl.folder.regular_file import opened
from etl.folder.shop_key import KEY_FILE
from etl.folder.versions import earlier, is_there, new_name, published_name
from etl.folder.writer_lock import LOCK

NOT_WHOLE = (  # what a file that is no backup, or was changed, makes its reader raise
    BackupError, zipfile.BadZipFile, zlib.error, KeyError, ValueError, TypeError, AttributeError,
    EOFError, MemoryError, NotImplementedError, RuntimeError,
)  # fmt: skip
DRAFT = ".restoring-"
CHUNK = 1 << 20  # bytes


def restore(file: Path, folder: Path, *, replaces: bool = False) -> Path | None:
    """Bring a backup back as a database folder; all of it is checked before anything is changed.

    A folder that holds anything is left alone unless `replaces`: then it is kept whole under
    another name, which is returned. Raises BackupError for a file that is no whole backup, Busy
    while a load runs there.
    """
    folder = folder.resolve()
    draft = folder.with_name(f"{folder.name}{DRAFT}{secrets.token_hex(4)}")
    try:
        if _holds_data(folder) and not replaces:
            raise BackupError(
                f"{folder}: holds a shop's data already; name another --db, or add --replace: "
                "the folder is then kept under another name"
            )
        _remove_unfinished(folder)
        draft.mkdir(parents=True)
        _unpack(file, draft)
        return _put_in_place(draft, folder)
    except OSError as error:
        place = error.filename or folder
        raise BackupError(
            f"{place}: cannot be read or written ({error.strerror}); nothing was changed; "
            "close the dashboard, or name another --db"
        ) from None
    finally:
        shutil.rmtree(draft, ignore_errors=True)


def _remove_unfinished(folder: Path) -> None:
    """Remove what a killed restore left next to the folder."""
    for left_over in folder.parent.glob(f"{glob.escape(folder.name)}{DRAFT}*"):
        shutil.rmtree(left_over, ignore_errors=True)


def undo(folder: Path) -> Path:
    """Publish the last whole version before the published one, which is kept under another name.

    Returns that version. Raises BackupError when there is none.
    """
    with only_writer(folder):
        published = published_name(folder)
        good = next((path for path in earlier(folder) if fault(path) is None), None)
        if good is None:
            raise BackupError(
                f"{folder}: no whole version before the last one is left; bring a backup back "
                "(ohmhours restore FILE), or load all files again into another --db"
            )
        point_to(folder, good.name)
        if is_there(folder, published):
            with suppress(OSError):  # in use where that forbids it: the next load removes it
                os.replace(folder / published, folder / f"undone-{published}")
        return good


def _holds_data(folder: Path) -> bool:
    return folder.exists() and any(path.name != LOCK for path in folder.iterdir())


def _unpack(file: Path, draft: Path) -> None:
    try:
        with opened(file) as content, zipfile.ZipFile(content) as archive:
            parts = parts_of(_small(archive, CONTENTS))
            _check_room(parts, archive, draft)
            for part in parts:
                _unpack_part(archive, part, draft)
    except NOT_WHOLE as error:
        raise BackupError(
            f"{file}: is no whole backup ({_reason(error)}); take another one, nothing was changed"
        ) from None
    problem = fault(draft / DATABASE)
    if problem:
        raise BackupError(f"{file}: its database cannot be used, {problem}; take another one")
    version = draft / new_name(draft)
    os.replace(draft / DATABASE, version)
    point_to(draft, version.name)
    check_other_files(draft, version)


def _reason(error: Exception) -> str:
    """Return the first line of an error, short: a crafted file may put anything into it."""
    lines = str(error).splitlines() or [type(error).__name__]
    return lines[0][:160]


def _small(archive: zipfile.ZipFile, name: str) -> bytes:
    with archive.open(name) as source:
        content = source.read(MOST_OTHER_BYTES + 1)
    if len(content) > MOST_OTHER_BYTES:
        raise ValueError(f"{name} is larger than {MOST_OTHER_BYTES:,} bytes")
    return content


def _check_room(parts: list[Part], archive: zipfile.ZipFile, draft: Path) -> None:
    """Raise before anything is written for sizes that disagree, or do not fit on the disk."""
    for part in parts:
        if archive.getinfo(part.name).file_size != part.size:
            raise ValueError(f"{part.name} is not of the size that was backed up")
    total, free = sum(part.size for part in parts), shutil.disk_usage(draft).free
    if total > free:
        raise OSError(
            errno.ENOSPC, f"No space left: {total:,} bytes are needed, {free:,} are free", draft
        )


def _unpack_part(archive: zipfile.ZipFile, part: Part, draft: Path) -> None:
    """Write a part, never more of it than was backed up."""
    target = draft / part.name
    target.parent.mkdir(exist_ok=True)
    mode = 0o600 if part.name == KEY_FILE else 0o666
    descriptor = os.open(target, os.O_WRONLY | os.O_CREAT | os.O_EXCL, mode)
    digest, left = hashlib.sha256(), part.size
    with archive.open(part.name) as source, os.fdopen(descriptor, "wb") as file:
        while piece := source.read(min(CHUNK, left + 1)):
            left -= len(piece)
            if left < 0:
                break
            digest.update(piece)
            file.write(piece)
    if left or digest.hexdigest() != part.sha256:
        raise ValueError(f"{part.name} is not what was backed up")
    sync(target)


def _put_in_place(draft: Path, folder: Path) -> Path | None:
    """Give the draft the folder's name; return where the former folder is kept, None without."""
    kept = None
    if _holds_data(folder):
        with only_writer(folder):
            pass  # Busy while a load runs
        kept = folder.with_name(f"{folder.name}.replaced-{secrets.token_hex(4)}")
        os.replace(folder, kept)
    elif folder.exists():
        shutil.rmtree(folder)
    try:
        os.replace(draft, folder)
    except OSError:
        if kept:
            os.replace(kept, folder)
        raise
    with suppress(OSError):
        sync(folder.parent)
    return kept
