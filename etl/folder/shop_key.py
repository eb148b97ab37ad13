"""The shop's key, a file outside the database: made, read, and checked by its fingerprint."""

import hmac
import os
import secrets
from contextlib import suppress
from pathlib import Path

from etl.folder.errors import UserError
from etl.folder.regular_file import small_text
from etl.folder.schema import settings_of
from etl.folder.versions import current, versions

KEY_FILE = "unit.key"
KEY_BYTES = 32
KEY_REMEDY = (
    "bring it back from a backup (ohmhours restore FILE), for with another key no unit of earlier "
    "loads would be recognised"
)
FINGERPRINT = "unit_key_fingerprint"  # its key in core.settings
FINGERPRINT_TEXT = b"\0ohmhours fingerprint of the unit key\0"


class KeyFileError(UserError):
    """The file of the shop's key is damaged; hashing with another key would lose every unit."""


def unit_key(folder: Path) -> bytes:
    """Return the shop's secret of 32 bytes, kept as hex digits that a person can back up.

    The file is made on first use, whole or not at all, readable by its owner only; of two first
    users at once both get the same key. Raises KeyFileError when the file is there but is no key,
    or is gone from a folder that holds loads.
    """
    path = folder / KEY_FILE
    if not path.exists():
        if versions(folder):
            raise KeyFileError(f"{path}: the key is gone; {KEY_REMEDY}")
        _make_key(path)
    try:
        key = bytes.fromhex(small_text(path).strip())
    except ValueError:
        key = b""
    except OSError as error:
        raise KeyFileError(f"{path}: cannot be read ({error.strerror}); {KEY_REMEDY}") from None
    if len(key) != KEY_BYTES:
        raise KeyFileError(f"{path}: not a key of {2 * KEY_BYTES} hex digits; {KEY_REMEDY}")
    return key


def fingerprint(key: bytes) -> str:
    """Return what a version keeps of the key that hashed its rows: it gives nothing of it away.

    HMAC-SHA256 (RFC 2104, FIPS 198-1) of a fixed text that no customer or serial can be.
    """
    return hmac.digest(key, FINGERPRINT_TEXT, "sha256").hex()[:32]


def matching_key(folder: Path) -> bytes:
    """Return the shop's key when it is the one that hashed the published version's rows.

    A version of an older program says nothing of its key; then any whole key is taken. Raises
    KeyFileError.
    """
    key, version = unit_key(folder), current(folder)
    if version is not None:
        check_fingerprint(key, version, folder / KEY_FILE)
    return key


def check_fingerprint(key: bytes, version: Path, path: Path) -> None:
    """Raise KeyFileError when a version's rows were hashed with another key; `path` is named."""
    kept = (settings_of(version) or {}).get(FINGERPRINT)
    if kept is not None and not hmac.compare_digest(kept, fingerprint(key)):
        raise KeyFileError(f"{path}: another key than the one of the loaded records; {KEY_REMEDY}")


def _make_key(path: Path) -> None:
    draft = path.with_name(f"{KEY_FILE}.{secrets.token_hex(4)}")
    descriptor = os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    try:
        with os.fdopen(descriptor, "w", encoding="ascii") as file:
            file.write(secrets.token_hex(KEY_BYTES) + "\n")
            file.flush()
            os.fsync(file.fileno())
        with suppress(FileExistsError):  # another first user was faster: that key counts
            _place(draft, path)
    finally:
        with suppress(OSError):
            draft.unlink()


def _place(draft: Path, path: Path) -> None:
    """Give the draft its name unless the name is taken; raises FileExistsError then."""
    try:
        os.link(draft, path)
    except FileExistsError:
        raise
    except OSError:  # a file system without links: a sliver of time for a second first user
        if path.exists():
            raise FileExistsError(path) from None
        os.replace(draft, path)
