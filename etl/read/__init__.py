"""Files → tables of text, each file in a process of its own: see apart.py."""

from pathlib import Path

from etl.read.apart import read_apart
from etl.read.paths import expand
from etl.read.source import BadRow, Limits, SourceTable, UnreadableFile

__all__ = ["BadRow", "Limits", "SourceTable", "UnreadableFile", "expand", "read_tables"]


def read_tables(path: Path, limits: Limits | None = None) -> list[SourceTable]:
    """Read every table of one file, all cells as text; of a workbook, one per visible sheet.

    Raises UnreadableFile when the file as a whole cannot be used, also when it holds no record.
    """
    return read_apart(path, limits or Limits())
