"""The notes of the invented sample shop: put next to its records, and removed with them."""

from contextlib import suppress
from importlib.resources import files
from pathlib import Path

from dashboard.notes.changes import FILE
from etl.folder.atomic_write import write_whole


def note_sample(folder: Path) -> None:
    """Put the sample's changes into a folder that has none."""
    if not (folder / FILE).exists():
        write_whole(folder / FILE, _notes())


def forget_sample(folder: Path) -> None:
    """Remove the sample's changes; those that somebody noted since stay."""
    with suppress(FileNotFoundError):
        if (folder / FILE).read_bytes() == _notes():
            (folder / FILE).unlink()


def _notes() -> bytes:
    return (files("sample_data") / FILE).read_bytes()
