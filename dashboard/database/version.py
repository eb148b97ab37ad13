"""Which version the pages read: the published one; while that cannot be read, the last good one.

A version found unreadable is remembered as long as the program runs.
"""

from pathlib import Path
from typing import Any

from etl.folder.errors import REMEDY, PublishError, is_damage
from etl.folder.schema import FOREIGN, is_database, schema_of
from etl.folder.versions import current, earlier

_set_aside: dict[Path, str] = {}  # version → why it cannot be read


def version(folder: Path) -> Path | None:
    """Return the version to read, None when nothing was published yet.

    Raises PublishError, with the remedy, when no version can be read.
    """
    published, problem = _published(folder)
    if problem is None:
        return published
    good = _last_good(folder)
    if good is None:
        raise PublishError(problem)
    return good


def notice(folder: Path) -> str | None:
    """Return what a reader must know when the last good version is read; else None."""
    problem = _published(folder)[1]
    good = _last_good(folder) if problem else None
    if good is None:
        return None
    return f"{problem}. Until then these numbers are of the version before it, {good.name}."


def set_aside(path: Path, why: str) -> str:
    """Read this version no more; return the line that tells why."""
    return _set_aside.setdefault(path, f"the database {path.name} cannot be read: {why}")


def damage(error: Exception) -> str | None:
    """Return why a file that gave this error cannot be read; None when the file is not at fault."""
    return f"it is damaged; {REMEDY}" if is_damage(error) else None


def foreign(path: Path) -> str | None:
    """Return why a file that is no database cannot be read, else None."""
    return None if is_database(path) else f"{FOREIGN}; {REMEDY}"


def other_schema(connection: Any) -> str | None:
    """Return why an open file of another version of this program cannot be read, else None."""
    return schema_of(connection).problem


def _published(folder: Path) -> tuple[Path | None, str | None]:
    """Return the published version and why it cannot be read."""
    try:
        path = current(folder)
    except PublishError as gone:
        return None, str(gone)
    return path, _set_aside.get(path) if path else None


def _last_good(folder: Path) -> Path | None:
    return next((path for path in earlier(folder) if path not in _set_aside), None)
