"""Files → tables of text. Formats are told by content first, by name second."""

import errno
import glob
import os
from collections.abc import Iterable
from pathlib import Path

from etl.read.delimited import read_delimited
from etl.read.json_records import read_json
from etl.read.parquet import read_parquet
from etl.read.source import BadRow, Limits, SourceTable, UnreadableFile
from etl.read.workbook import OLE, ZIP, read_workbook

__all__ = ["BadRow", "Limits", "SourceTable", "UnreadableFile", "expand", "read_tables"]

READABLE = {
    ".csv", ".tsv", ".txt", ".json", ".jsonl", ".ndjson", ".parquet", ".xlsx", ".xlsm", ".xls",
    ".xlsb", ".ods",
}  # fmt: skip


def read_tables(path: Path, limits: Limits | None = None) -> list[SourceTable]:
    """Read every table of one file, all cells as text.

    Raises UnreadableFile when the file as a whole cannot be used.
    """
    limits = limits or Limits()
    content = _content(path, limits)
    if not content.strip():
        raise UnreadableFile(path.name, "empty_file")
    if content.startswith(b"PAR1"):
        return read_parquet(path, content, limits)
    if content.startswith((ZIP, OLE)):
        return read_workbook(path, content, limits)
    if path.suffix.lower() in (".xlsx", ".xlsm", ".xlsb", ".ods") and b"\0" in content[:4096]:
        raise UnreadableFile(path.name, "broken_workbook")
    if path.suffix.lower() == ".parquet":
        raise UnreadableFile(path.name, "truncated_parquet")
    if content.lstrip(b"\xef\xbb\xbf \t\r\n")[:1] in (b"{", b"["):
        return read_json(path, content, limits)
    return read_delimited(path, content, limits)


def _content(path: Path, limits: Limits) -> bytes:
    try:
        if path.stat().st_size > limits.max_file_bytes:
            raise UnreadableFile(path.name, "too_large")
        return path.read_bytes()
    except OSError as error:
        raise UnreadableFile(path.name, _problem(error)) from None


def _problem(error: OSError) -> str:
    if error.errno == errno.ELOOP:
        return "symlink_loop"
    if isinstance(error, PermissionError):
        return "no_permission"
    return "missing_file"


def expand(paths: Iterable[str | Path]) -> list[Path]:
    """Return the files that paths, folders and globs name, each once, sorted by name.

    Of a folder the readable kinds of file are taken, hidden and lock files left out.
    Raises UnreadableFile for a path that names nothing.
    """
    found: dict[Path, None] = {}
    for path in paths:
        for file in _files(Path(path)):
            found[file] = None
    return sorted(found, key=lambda file: (file.name, str(file)))


def _files(path: Path) -> list[Path]:
    try:
        if path.is_dir():
            return _in_folder(path)
        if os.path.lexists(path):
            path.stat()
            return [path]
    except OSError as error:
        raise UnreadableFile(path.name, _problem(error)) from None
    matches = [Path(match) for match in glob.glob(str(path), recursive=True)]
    files = [match for match in matches if match.is_file()]
    if not files:
        raise UnreadableFile(str(path), "missing_file")
    return files


def _in_folder(folder: Path) -> list[Path]:
    files = [
        file
        for file in sorted(folder.rglob("*"))
        if file.suffix.lower() in READABLE
        and not any(part.startswith((".", "~$")) for part in file.relative_to(folder).parts)
        and file.is_file()
    ]
    if not files:
        raise UnreadableFile(folder.name or str(folder), "is_empty_folder")
    return files
