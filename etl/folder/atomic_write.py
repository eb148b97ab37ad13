"""A file written in one step: whoever looks sees the old one or the new, never half."""

import glob
import os
import secrets
import time
from contextlib import suppress
from pathlib import Path

IDLE_HOURS = 1  # since a draft was written to: no process is writing it any more


def write_whole(path: Path, content: bytes) -> None:
    """Write a temporary file in the same folder, sync it to disk and move it into place.

    Raises OSError; then the file stands as it was, and no other is left. What a killed writing left
    is removed by a later one.
    """
    _remove_drafts(path)
    draft = path.with_name(f".{path.name}.{secrets.token_hex(4)}")
    try:
        with draft.open("xb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        os.replace(draft, path)
    finally:
        with suppress(OSError):
            draft.unlink()


def _remove_drafts(path: Path) -> None:
    for draft in path.parent.glob(f".{glob.escape(path.name)}.{'[0-9a-f]' * 8}"):
        with suppress(OSError):
            if time.time() - draft.lstat().st_mtime > 3600 * IDLE_HOURS:
                draft.unlink()
