"""Files opened for reading only when they are files: a pipe or a device would never end."""

import errno
import os
import stat
from io import BufferedReader
from pathlib import Path

SMALL_BYTES = 4_000_000  # settings, mappings and keys are far smaller
NOT_A_FILE = "a device, pipe or folder, not a file"


class TooLarge(OSError):
    """A file of settings that is larger than any of them can be."""


def opened(path: Path) -> BufferedReader:
    """Open a regular file for reading; raise OSError, without waiting, for anything else.

    The check is of what was opened, so that it cannot be exchanged in between.
    """
    non_blocking = getattr(os, "O_NONBLOCK", 0)
    binary = getattr(os, "O_BINARY", 0)
    descriptor = os.open(path, os.O_RDONLY | non_blocking | binary)
    try:
        if not stat.S_ISREG(os.fstat(descriptor).st_mode):
            raise OSError(errno.EINVAL, NOT_A_FILE, str(path))
    except BaseException:
        os.close(descriptor)
        raise
    return os.fdopen(descriptor, "rb")


def small_text(path: Path, errors: str = "strict") -> str:
    """Return the UTF-8 text of a small file; raise OSError or UnicodeDecodeError.

    Raises TooLarge for a file above SMALL_BYTES.
    """
    with opened(path) as file:
        content = file.read(SMALL_BYTES + 1)
    if len(content) > SMALL_BYTES:
        raise TooLarge(errno.EFBIG, f"larger than {SMALL_BYTES:,} bytes", str(path))
    return content.decode("utf-8", errors).replace("\r\n", "\n")
