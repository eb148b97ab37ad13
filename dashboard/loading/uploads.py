"""Uploads → files of this run: few enough, small enough, under names that lead nowhere else."""

import re
from collections.abc import Sequence
from pathlib import Path, PurePosixPath, PureWindowsPath
from typing import Protocol

from etl.read import Limits

MOST_FILES, MOST_BYTES = 50, 500_000_000  # of all files of one upload together
LIMITS = Limits(  # of one file; a larger one goes by the command line
    max_file_bytes=200 << 20,  # as server.maxUploadSize
    max_rows=1_000_000,
    max_columns=500,
    max_seconds=120,
    max_memory_bytes=4 << 30,
)
LONGEST_NAME = 120
# signs that a path, a device or a shell gives a meaning, and those that steer a terminal
MEANINGFUL = re.compile(
    r'[\x00-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069<>:"|?*\\/]'
)
DEVICE = re.compile(r"(?i)^(con|prn|aux|nul|com\d|lpt\d)(?=\.|$)")


class Upload(Protocol):
    """What the browser sent: a name that anybody may have chosen, a size, the bytes."""

    name: str
    size: int

    def getbuffer(self) -> memoryview: ...


def refusal(uploads: Sequence[Upload]) -> str | None:
    """Say why so many or so large uploads are not taken, None when they are."""
    total = sum(upload.size for upload in uploads)
    if len(uploads) > MOST_FILES:
        return f"{len(uploads)} files at once; at most {MOST_FILES} are taken: upload them in parts"
    if total > MOST_BYTES:
        return (
            f"{total:,} bytes at once; at most {MOST_BYTES:,} are taken: upload fewer files, or "
            "use the command ohmhours load"
        )
    return None


def saved(uploads: Sequence[Upload], folder: Path) -> list[Path]:
    """Write the uploads below a folder of this run and return the paths, in their order.

    Each gets a folder of its own, so that two files of one name are two files.
    """
    paths = []
    for number, upload in enumerate(uploads, start=1):
        path = folder / str(number) / safe_name(upload.name)
        path.parent.mkdir()
        path.write_bytes(upload.getbuffer())
        paths.append(path)
    return paths


def safe_name(name: str) -> str:
    """Return the last part of a file name, fit for any file system; "upload" for none.

    Signs with a meaning become "_", and names of devices get one in front.
    """
    last = PureWindowsPath(PurePosixPath(name).name).name.encode("utf-8", "replace").decode()
    plain = MEANINGFUL.sub("_", last).strip(" .") or "upload"
    plain = DEVICE.sub(r"_\1", plain)
    stem, dot, suffix = plain.rpartition(".")
    if not dot or len(suffix) > 10:
        stem, dot, suffix = plain, "", ""
    while len((stem + dot + suffix).encode()) > LONGEST_NAME:
        stem = stem[:-1]
    return stem + dot + suffix
