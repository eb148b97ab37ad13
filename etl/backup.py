"""A shop's database in one file: a ZIP with what belongs to it, and the hash of each part.

In it are the published version, the key of the customers' hashes, the settings, approved
prices, the shop's own limits, meters and mappings. Accepted words are part of the version. The key
is in it because without it no later load would recognize an appliance: keep a backup as safe as the
folder itself.
"""

import hashlib
import json
import os
import re
import secrets
import shutil
import tempfile
import time
import zipfile
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path
from typing import IO, Any

from etl.backup_parts import (
    CONTENTS,
    DATABASE,
    FORM,
    OTHER_FILES,
    BackupError,
    Part,
    check_other_files,
    check_parts,
)
from etl.folder.errors import REMEDY
from etl.folder.integrity import fault, row_counts
from etl.folder.publish import PublishError, current, sync
from etl.folder.regular_file import opened
from etl.folder.versions import published_name
from etl.restore import restore

__all__ = ["BackupError", "backup"]

CHUNK = 1 << 20  # bytes
UNFINISHED = ".unfinished-"
LEFT_OVER = re.compile(rf"{re.escape(UNFINISHED)}[0-9a-f]{{8}}(\.trial-\w+)?$")
IDLE_HOURS = 1  # since the last write to an unfinished backup: no process is writing it any more
ATTEMPTS = 3  # a version can be pruned between its name and its opening
Figures = Callable[[Path], Any]


def backup(folder: Path, file: Path, figures: Figures = row_counts) -> list[Part]:
    """Write a folder's published version and what belongs to it into one file, in one step.

    The file gets its name after a trial restore: `figures`, called with a database folder, must
    give the same for the shop and for what was restored, and raise for settings that cannot be
    read. A load may run meanwhile: a published version never changes. The same state gives the
    same bytes. Raises BackupError when nothing was loaded, when the version, the key, a mapping or
    the shop's limits cannot be used, or the file is there already or cannot be written.
    """
    if os.path.lexists(file):
        raise BackupError(f"{file}: already exists; name another file, nothing was changed")
    draft = file.with_name(f"{file.name}{UNFINISHED}{secrets.token_hex(4)}")
    _remove_unfinished(file.parent)
    try:
        with _opened_version(folder) as version:
            check_other_files(folder, Path(version.name))
            with _private(draft) as target:
                parts = _pack(folder, version, target)
        sync(draft)
        _try(draft, folder, Path(version.name).name, figures)
        os.replace(draft, file)
        with suppress(OSError):
            sync(file.absolute().parent)
    except OSError as error:
        place = error.filename or file
        raise BackupError(f"{place}: cannot be read or written ({error.strerror})") from None
    finally:
        with suppress(OSError):
            draft.unlink()
    return parts


def _remove_unfinished(place: Path) -> None:
    """Remove what killed backups left in a folder, the folders of their trials too."""
    for left_over in place.glob(f"*{UNFINISHED}*"):
        with suppress(OSError):
            if LEFT_OVER.search(left_over.name) is None:
                continue
            if time.time() - left_over.lstat().st_mtime < 3600 * IDLE_HOURS:
                continue
            if left_over.is_dir() and not left_over.is_symlink():
                shutil.rmtree(left_over, ignore_errors=True)
            else:
                left_over.unlink()


def _try(draft: Path, folder: Path, version: str, figures: Figures) -> None:
    """Restore the draft into a temporary folder next to it and compare what it gives.

    After a load has published meanwhile there is nothing to compare with: then the restored
    folder must give its figures at all.
    """
    with tempfile.TemporaryDirectory(
        prefix=f"{draft.name}.trial-", dir=draft.parent, ignore_cleanup_errors=True
    ) as place:
        restored = Path(place) / "shop"
        try:
            restore(draft, restored)
            found = figures(restored)
        except PublishError as problem:
            raise BackupError(f"{draft}: the trial restore failed ({problem})") from None
        wanted = figures(folder)
        if found != wanted and published_name(folder) == version:
            raise BackupError(
                f"{folder}: a trial restore gives other figures, so no backup was made; back up "
                "again, and restore an earlier backup if it happens again"
            )


def _opened_version(folder: Path) -> IO[bytes]:
    """Open the published version, once it was found whole; open, it stays even when pruned."""
    for attempt in range(1, ATTEMPTS + 1):
        path = current(folder)
        if path is None:
            raise BackupError(f"{folder}: nothing was loaded yet, so there is nothing to keep")
        try:
            version = path.open("rb")
            break
        except FileNotFoundError:
            if attempt == ATTEMPTS:
                raise
    assert path is not None  # the loop ends with a version or raises
    problem = fault(path)
    if problem:
        version.close()
        raise BackupError(f"{path}: {problem}; no backup was made of it; {REMEDY}")
    return version


def _private(path: Path) -> IO[bytes]:
    """Open a new file that only its owner may read: the key will be in it."""
    return os.fdopen(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb")


def _pack(folder: Path, version: IO[bytes], target: IO[bytes]) -> list[Part]:
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as archive:
        parts = [_add(archive, DATABASE, version)]
        for path in _other_files(folder):
            with opened(path) as source:
                parts.append(_add(archive, path.relative_to(folder).as_posix(), source))
        check_parts(parts)
        contents = {"form": FORM, "parts": [part.model_dump() for part in parts]}
        archive.writestr(zipfile.ZipInfo(CONTENTS), json.dumps(contents, indent=1))
    return parts


def _other_files(folder: Path) -> Iterator[Path]:
    for pattern in OTHER_FILES:
        yield from sorted(folder.glob(pattern))


def _add(archive: zipfile.ZipFile, name: str, source: IO[bytes]) -> Part:
    """Add a file, without its time: the same content gives the same backup."""
    entry = zipfile.ZipInfo(name)
    entry.compress_type = zipfile.ZIP_DEFLATED
    digest, size = hashlib.sha256(), 0
    with archive.open(entry, "w", force_zip64=True) as target:
        while piece := source.read(CHUNK):
            digest.update(piece)
            size += len(piece)
            target.write(piece)
    return Part(name=name, size=size, sha256=digest.hexdigest())
