"""A file written in one step: whoever looks sees the old one or the new, never half."""

import os
import secrets
from contextlib import suppress
from pathlib import Path


def write_whole(path: Path, content: bytes) -> None:
    """Write a file beside, bring it to the disk and move it into place.

    Raises OSError; then the file stands as it was, and no other is left.
    """
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
