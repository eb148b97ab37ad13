"""Is a file open in another process? As far as the system says it."""

import os
import sys
from pathlib import Path


def is_open_elsewhere(path: Path) -> bool:
    """Return True if another process holds the file open; False where the system does not say.

    Linux: the descriptors of the processes that this user may look at. Windows: a file that a
    program writes cannot be renamed to its own name.
    """
    if sys.platform == "win32":
        return _is_locked(path)
    processes = Path("/proc")
    if not processes.is_dir():
        return False
    try:
        wanted = path.stat()
    except OSError:
        return False
    own = str(os.getpid())
    return any(
        _holds(each, (wanted.st_dev, wanted.st_ino))
        for each in processes.iterdir()
        if each.name.isdecimal() and each.name != own
    )


def _holds(process: Path, wanted: tuple[int, int]) -> bool:
    try:
        descriptors = list((process / "fd").iterdir())
    except OSError:
        return False
    for descriptor in descriptors:
        try:
            found = descriptor.stat()
        except OSError:
            continue
        if (found.st_dev, found.st_ino) == wanted:
            return True
    return False


def _is_locked(path: Path) -> bool:
    try:
        os.rename(path, path)
    except OSError:
        return True
    return False
