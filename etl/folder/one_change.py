"""One change at a time to the small files that people write from pages and commands."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from time import monotonic, sleep

from etl.folder.errors import UserError
from etl.folder.writer_lock import lock

PRICES = "prices.csv"  # approved prices; read and written by dashboard/pricing/approvals.py
LOCK = "change.lock"
WAIT_S, PAUSE_S = 5.0, 0.05


@contextmanager
def one_change(folder: Path, wait_s: float = WAIT_S) -> Iterator[None]:
    """Hold the lock under which a file is read, changed and written whole; waits its turn.

    A load does not hold it. Raises UserError when another holds it all the while, OSError when
    the folder cannot be written to.
    """
    end = monotonic() + wait_s
    with (folder / LOCK).open("a+b", buffering=0) as file:
        while True:
            try:
                lock(file)
                break
            except OSError:
                if monotonic() > end:
                    raise UserError(
                        f"{folder}: another change is being saved; nothing was saved; try again"
                    ) from None
                sleep(PAUSE_S)
        yield
