"""What one page run or one command answers from: a version, the settings, and the reader."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from dashboard.access.reader import Reader, reader
from dashboard.database.connection import open_newest
from dashboard.settings.file import read_settings

WITHOUT_EFFECT = {"people", "shop_name"}  # settings that change no number


@dataclass(frozen=True)
class Snapshot:
    """Taken once and passed down, so that every answer is of the same version and settings.

    It is the key of every cache. Two are equal when version, settings and what the reader may see
    are equal; `key` holds these three.
    """

    folder: Path = field(compare=False)
    version: Path = field(compare=False)
    settings: Mapping[str, Any] = field(compare=False, repr=False)
    reader: Reader = field(compare=False)
    notice: str | None = field(default=None, compare=False)
    key: tuple[Path, tuple[str, str | None], str] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        """Write the key."""
        counted = {k: v for k, v in self.settings.items() if k not in WITHOUT_EFFECT}
        key = (self.version, self.reader.view, repr(sorted(counted.items())))
        object.__setattr__(self, "key", key)

    @property
    def window_days(self) -> int:
        """Return the days within which a return counts as a callback, by the settings."""
        days: int = self.settings["callback_window_days"]
        return days

    @property
    def slabs(self) -> list[str]:
        """Return how parts are marked up, as texts "up to factor": one list for every engine."""
        return [f"{edge!r} {factor!r}" for edge, factor in self.settings["parts_slabs"]]


def take(folder: Path, settings: Mapping[str, Any] | None = None) -> Snapshot:
    """Return a snapshot of the newest version that opens, for the current reader.

    Settings that were read already may be passed. Raises NoData before the first load and when no
    version can be read, SettingsError, and access.Refused without a sign-in where one is needed.
    """
    found = open_newest(folder)
    assert found.path is not None  # open_newest raises NothingLoaded where no file is
    chosen = read_settings(folder) if settings is None else settings
    return Snapshot(folder, found.path, chosen, reader(), found.notice)
