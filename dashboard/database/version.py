"""Which version is read: the published one; while that cannot be read, the last good one.

A version found unreadable is remembered as long as the program runs.
"""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from dashboard.errors import UserError
from etl.folder.errors import REMEDY, PublishError, is_damage
from etl.folder.schema import FOREIGN, is_database, schema_of
from etl.folder.versions import current, earlier

_set_aside: dict[Path, str] = {}  # version → why it cannot be read


class NoData(UserError):
    """Nothing to read yet, or it cannot be read; the message says what to do."""


class NothingLoaded(NoData):
    """No version was published yet."""


class Damaged(NoData):
    """A version turned out to be damaged; a new snapshot reads the last good one."""


@dataclass(frozen=True)
class Found:
    """The version to read, None before the first load, and what its readers must know of it."""

    path: Path | None
    notice: str | None = None


def find(folder: Path) -> Found:
    """Return the version to read, by one look at the pointer.

    Raises NoData, with the remedy, when no version can be read.
    """
    published, problem = _published(folder)
    if problem is None:
        return Found(published)
    good = next((path for path in earlier(folder) if path not in _set_aside), None)
    if good is None:
        raise NoData(problem)
    notice = f"{problem}. Until then these numbers are of the version before it, {good.name}."
    return Found(good, notice)


def version(folder: Path) -> Path | None:
    """Return the file to read, None before the first load. Raises NoData."""
    return find(folder).path


def set_aside(path: Path, why: str) -> str:
    """Read this version no more; return the line that says why."""
    return _set_aside.setdefault(path, f"the database {path.name} cannot be read: {why}")


def damage(error: Exception) -> str | None:
    """Return why a file that gave this error cannot be read; None when the file is not at fault."""
    return f"it is damaged; {REMEDY}" if is_damage(error) else None


def foreign(path: Path) -> str | None:
    """Return why a file that is not a database cannot be read, else None."""
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
