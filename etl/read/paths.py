"""Paths, folders and globs → the files that they name; and a file's bytes."""

import errno
import glob
import os
import stat
from collections.abc import Sequence
from io import BufferedReader
from pathlib import Path

from etl.folder.regular_file import NOT_A_FILE, opened
from etl.read.source_table import Limits, UnreadableFile

READABLE = {
    ".csv", ".tsv", ".tab", ".txt", ".json", ".jsonl", ".ndjson", ".parquet", ".pq", ".xlsx",
    ".xlsm", ".xls", ".ods",
}  # fmt: skip


def expand(paths: Sequence[str | Path]) -> list[Path]:
    """Return the files that paths, folders and globs name, each once, sorted by name.

    Of a folder, and of those in it, the readable kinds of file are taken; hidden files and the
    lock files of spreadsheets (~$…) are left out. Links to folders are not followed.
    Raises UnreadableFile for a path that names nothing or cannot be followed.
    """
    found: dict[Path, None] = {}
    for path in paths:
        for file in _files(Path(path)):
            found[file] = None
    return sorted(found, key=lambda file: (file.name, str(file)))


def content_of(path: Path, limits: Limits) -> bytes:
    """Return a file's bytes; raises UnreadableFile when it cannot be read or is too large."""
    try:
        with opened_under(path, limits) as file:
            return file.read(os.fstat(file.fileno()).st_size)
    except OSError as error:
        raise UnreadableFile(path.name, _problem(error)) from None


def opened_under(path: Path, limits: Limits) -> BufferedReader:
    """Open a file that is one, and no larger than the limits; raises UnreadableFile."""
    try:
        if path.is_dir():
            raise UnreadableFile(path.name or str(path), "is_a_directory")
        file = opened(path)
    except (OSError, ValueError) as error:
        if getattr(error, "strerror", "") == NOT_A_FILE:
            raise UnreadableFile(path.name, "not_a_table", "a device or pipe, not a file") from None
        raise UnreadableFile(path.name or str(path), _problem(error)) from None
    size = os.fstat(file.fileno()).st_size
    if size > limits.max_file_bytes:
        file.close()
        raise UnreadableFile(path.name, "too_large", f"{size:,} bytes")
    return file


def _problem(error: Exception) -> str:
    if getattr(error, "errno", None) == errno.ELOOP:
        return "symlink_loop"
    return "no_permission" if isinstance(error, PermissionError) else "missing_file"


def _files(path: Path) -> list[Path]:
    try:
        if os.path.lexists(path):
            is_folder = stat.S_ISDIR(path.stat().st_mode)
            return _in_folder(path) if is_folder else [path]
        matches = [Path(match) for match in glob.glob(str(path), recursive=True)]
        files = [file for match in matches if _is_shown(match) for file in _files(match)]
    except (OSError, ValueError) as error:
        raise UnreadableFile(path.name or str(path), _problem(error)) from None
    if not files:
        raise UnreadableFile(path.name or str(path), "missing_file")
    return files


def _in_folder(folder: Path) -> list[Path]:
    files = []
    for place, folders, names in os.walk(folder, onerror=_refuse):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        files += [Path(place, name) for name in names]
    files = [file for file in files if file.suffix.lower() in READABLE and _is_shown(file)]
    for file in files:
        try:
            file.stat()
        except OSError as error:
            raise UnreadableFile(file.name, _problem(error)) from None
    if not files:
        raise UnreadableFile(folder.name or str(folder), "empty_folder")
    return files


def _is_shown(path: Path) -> bool:
    return not path.name.startswith((".", "~$"))


def _refuse(error: OSError) -> None:
    raise error
