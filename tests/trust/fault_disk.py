"""A disk that is full, a folder that cannot be written to."""

import os
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from dashboard.settings.file import write_settings
from dashboard.settings.types import SettingsError
from tests.trust.fault_shop import FaultShop, shop

LEFT_FREE = 4096  # bytes: enough to say who writes, too little for any result


class CannotTry(Exception):
    """This machine lets no one make the fault; the message says what it takes."""


def disk_full(place: Path, moments: int) -> None:
    """Load, accept, save settings, back up and report on a full disk; then space is freed."""
    disk = place / "disk"
    disk.mkdir(parents=True)
    with mounted("-t", "tmpfs", "-o", "size=128m", "tmpfs", str(disk)):
        made = shop(disk)
        write_settings(made.folder, {"callback_window_days": 45})
        filling = disk / "filling"
        _fill(filling)
        _nothing_changes(made, "the disk is full; free some space", "load", made.export(3))
        word = ("accept", "canonical", "symptom", "all soap", "leaks")
        _nothing_changes(made, "the disk is full; free some space", *word)
        _settings_stay(made)
        _nothing_changes(made, "No space left on device", "backup", disk / "shop.zip")
        report = ("report", "--month", "2026-01", "--out", disk / "month.html")
        _nothing_changes(made, "No space left on device", *report)
        filling.unlink()
        made.must_go_on()


def _settings_stay(made: FaultShop) -> None:
    """Save settings larger than what is free: refused in one line, the former ones stand."""
    before = (made.folder / "ohmhours.toml").read_bytes()
    people = {f"{'x' * 60}{number}@shop.example": "owner" for number in range(200)}
    try:
        write_settings(made.folder, {"people": people})
    except SettingsError as problem:
        assert "No space left on device" in str(problem)
        assert "\n" not in str(problem)
    else:
        raise AssertionError("the disk was not full")
    assert (made.folder / "ohmhours.toml").read_bytes() == before
    assert not list(made.folder.glob(".ohmhours.toml.*"))


def folder_read_only(place: Path, moments: int) -> None:
    """Make the folder read-only, and writable again."""
    made = shop(place)
    with mounted("--bind", str(made.folder), str(made.folder)):
        subprocess.run(["mount", "-o", "remount,ro,bind", str(made.folder)], check=True)
        words = "cannot write there (Read-only file system); choose another --db"
        _nothing_changes(made, words, "load", made.export(3))
        _nothing_changes(made, words, "undo")
        assert made.run("backup", place / "shop.zip") == ""
    made.must_go_on()


def _nothing_changes(made: FaultShop, words: str, *arguments: object) -> None:
    before = made.files()
    message = made.run(*arguments)
    assert words in message, message
    assert message.count("\n") == 1, message
    made.must_serve(made.loaded)
    assert made.files() == before
    left = [path.name for path in made.place.iterdir() if "unfinished" in path.name]
    assert left == [], left


def _fill(path: Path) -> None:
    with path.open("wb") as file:
        try:
            while True:
                file.write(bytes(65_536))
                file.flush()
        except OSError:
            pass
    with path.open("r+b") as file:
        file.truncate(path.stat().st_size - LEFT_FREE)


@contextmanager
def mounted(*arguments: str) -> Iterator[None]:
    """Mount for the length of the block. Raises CannotTry where that is not allowed."""
    try:
        done = subprocess.run(["mount", *arguments], capture_output=True, text=True)
    except OSError:
        raise CannotTry("wants the command mount") from None
    if done.returncode != 0 or os.name == "nt":
        raise CannotTry("wants the right to mount a disk")
    try:
        yield
    finally:
        subprocess.run(["umount", "--lazy", arguments[-1]], check=True)
