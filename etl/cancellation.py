"""A load that somebody stops: everything is cleared away, and one line says what was changed."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from etl.folder.versions import pointed


class Stopped(Exception):
    """Somebody stopped the load; the message says whether anything was changed."""


@contextmanager
def stoppable(folder: Path) -> Iterator[None]:
    """Turn an interrupt (Ctrl+C, SIGTERM) inside the block into Stopped.

    The database engine raises RuntimeError for an interrupt in the middle of a query.
    """
    before = pointed(folder)
    try:
        yield
    except (KeyboardInterrupt, RuntimeError) as error:
        if isinstance(error, RuntimeError) and "interrupted" not in str(error):
            raise
        raise Stopped(describe_stop(folder, before)) from None


def describe_stop(folder: Path, before: str | None) -> str:
    """Say of a stopped load whether it changed anything; `before` is what the pointer said then."""
    if pointed(folder) == before:
        return "stopped; nothing was changed"
    return "stopped too late: the new version had just been published"
