"""What a database folder holds: the versions, their order, and the pointer to the published one.

A version's number orders it, never a clock: warehouse-000012-20261125T150000Z-1f2e3d4c.duckdb.
"""

import re
import secrets
from datetime import UTC, datetime
from pathlib import Path

from etl.folder.errors import REMEDY, PublishError
from etl.folder.regular_file import small_text

POINTER = "CURRENT"
NAME = re.compile(r"warehouse-[\w-]{1,80}\.duckdb")
NUMBER = re.compile(r"warehouse-(\d+)-")


def current(folder: Path) -> Path | None:
    """Return the published file of a database folder, None when nothing was published yet.

    Where the pointer was deleted the newest version counts. Raises PublishError when the pointer
    names a file that is gone.
    """
    name = pointed(folder)
    if name and not is_there(folder, name):
        name = pointed(folder)  # a slow reader: versions were published and pruned meanwhile
    if name is None:
        return next(iter(versions(folder)), None)
    if not is_there(folder, name):
        raise PublishError(f"{folder / POINTER} names {name[:80]!a}, which is not there; {REMEDY}")
    return folder / name


def pointed(folder: Path) -> str | None:
    """Return what the pointer says, None without a pointer; raise PublishError if unreadable."""
    try:
        return small_text(folder / POINTER, errors="replace").strip()
    except (FileNotFoundError, NotADirectoryError):
        return None
    except OSError as error:
        raise PublishError(
            f"{folder / POINTER}: cannot be read ({error.strerror}); check its permissions"
        ) from None


def is_there(folder: Path, name: str) -> bool:
    """Say whether a name is that of a version in the folder."""
    return NAME.fullmatch(name) is not None and (folder / name).is_file()


def versions(folder: Path) -> list[Path]:
    """Return the versions of a folder, newest first; no folder gives none."""
    found = [path for path in folder.glob("warehouse-*.duckdb") if is_there(folder, path.name)]
    return sorted(found, key=_order, reverse=True)


def _order(path: Path) -> tuple[int, str]:
    return number(path.name), path.name


def published_name(folder: Path) -> str:
    """Return the name of the published version, of the newest where the pointer was deleted."""
    name = pointed(folder)
    return next((path.name for path in versions(folder)), "") if name is None else name


def earlier(folder: Path) -> list[Path]:
    """Return the versions to go back to, newest first: those before the published one.

    A pointer that names no version says nothing of order: then every version is meant.
    """
    name = published_name(folder)
    before = (number(name), name)
    is_name = NAME.fullmatch(name) is not None
    return [path for path in versions(folder) if not is_name or _order(path) < before]


def number(name: str) -> int:
    """Return the number of a version, 0 for a name that has none."""
    found = NUMBER.match(name)
    return int(found[1]) if found else 0


def new_name(folder: Path) -> str:
    """Return a name for the next version: above all others, and never used before."""
    highest = max((number(path.name) for path in versions(folder)), default=0)
    highest = max(highest, number(pointed(folder) or ""))
    stamp = f"{datetime.now(UTC):%Y%m%dT%H%M%SZ}"
    return f"warehouse-{highest + 1:06d}-{stamp}-{secrets.token_hex(4)}.duckdb"
