"""A shop's database in one file: a ZIP with what belongs to it, and the hash of each part.

In it are the published version, the key of the customers' hashes, the settings, the shop's own
limits, meters and mappings. Accepted words are part of the version. The key is in it because
without it no later load would recognise an appliance: keep a backup as safe as the folder itself.
"""

import hashlib
import json
import os
import secrets
import zipfile
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import IO

from etl.folder.errors import REMEDY
from etl.folder.integrity import fault
from etl.folder.publish import PublishError, current, sync
from etl.folder.shop_key import KEY_FILE
from etl.raw.own_limits import LIMITS, METERS

DATABASE, CONTENTS = "warehouse.duckdb", "contents.json"
FORM = "ohmhours backup 1"
BESIDE = (KEY_FILE, "ohmhours.toml", LIMITS, METERS, "mappings/*.toml")
CHUNK = 1 << 20  # bytes
ATTEMPTS = 3  # a version can be pruned between its name and its opening


class BackupError(PublishError):
    """A backup that cannot be written or read; nothing was changed."""


@dataclass(frozen=True)
class Part:
    """One file of a backup: its name in it, its bytes and their SHA-256."""

    name: str
    size: int
    sha256: str


def backup(folder: Path, file: Path) -> list[Part]:
    """Write a folder's published version and what belongs to it into one file, in one step.

    A load may run meanwhile: a published version never changes. The same state gives the same
    bytes. Raises BackupError when nothing was loaded, the version is damaged, or the file is there
    already or cannot be written.
    """
    if file.exists():
        raise BackupError(f"{file}: is there already; name another file, nothing was changed")
    draft = file.with_name(f"{file.name}.unfinished-{secrets.token_hex(4)}")
    try:
        with _opened_version(folder) as version, _private(draft) as target:
            parts = _pack(folder, version, target)
        sync(draft)
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
        for path in _beside(folder):
            with path.open("rb") as source:
                parts.append(_add(archive, path.relative_to(folder).as_posix(), source))
        contents = {"form": FORM, "parts": [vars(part) for part in parts]}
        archive.writestr(zipfile.ZipInfo(CONTENTS), json.dumps(contents, indent=1))
    return parts


def _beside(folder: Path) -> Iterator[Path]:
    for pattern in BESIDE:
        yield from sorted(path for path in folder.glob(pattern) if path.is_file())


def _add(archive: zipfile.ZipFile, name: str, source: IO[bytes]) -> Part:
    """Add a file, without its time: the same content gives the same backup."""
    entry = zipfile.ZipInfo(name)
    entry.compress_type = zipfile.ZIP_DEFLATED
    with archive.open(entry, "w", force_zip64=True) as target:
        return copied(name, source, target)


def copied(name: str, source: IO[bytes], target: IO[bytes]) -> Part:
    """Copy a file in pieces and return what it was."""
    digest, size = hashlib.sha256(), 0
    while piece := source.read(CHUNK):
        digest.update(piece)
        size += len(piece)
        target.write(piece)
    return Part(name, size, digest.hexdigest())
