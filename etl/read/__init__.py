"""Files → tables of text, each file in a process of its own: see isolated.py."""

from pathlib import Path

from etl.read.isolated import read_apart
from etl.read.paths import expand
from etl.read.source_table import BadRow, Limits, SourceTable, UnreadableFile

__all__ = [
    "BadRow", "Limits", "SourceTable", "UnreadableFile", "expand", "read_heads", "read_tables",
]  # fmt: skip


def read_tables(path: Path, limits: Limits | None = None) -> list[SourceTable]:
    """Read every table of one file, all cells as text; of a workbook, one per visible sheet.

    Raises UnreadableFile when the file as a whole cannot be used, also when it holds no record.
    """
    return read_apart(path, limits or Limits())


def read_heads(path: Path, limits: Limits | None = None) -> list[SourceTable]:
    """Read the tables of one file, of a large delimited text no more than its header (`is_head`).

    Raises UnreadableFile as read_tables does, but for faults below the head of a large text.
    """
    return read_apart(path, limits or Limits(), is_head=True)
