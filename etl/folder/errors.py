"""Why a new version could not be written, or the last one not be read: one line with the remedy."""

import errno
from pathlib import Path

FULL = (errno.ENOSPC, errno.EFBIG, errno.EDQUOT)
FULL_WORDS = ("No space left", "File too large", "Disk quota exceeded", "Could not write all bytes")
DAMAGE_WORDS = ("Corrupt", "not a valid DuckDB", "Could not read enough bytes")
REMEDY = (
    "bring a backup back (ohmhours restore FILE), or go back to the version before it "
    "(ohmhours undo) and load again what came since"
)


class UserError(Exception):
    """Base class of everything that is shown to the user in one line.

    The message says what is wrong, where, what was wanted and what to do next.
    """


class PublishError(UserError):
    """The folder cannot take a new version; the last one stands as it was."""


def write_failure(folder: Path, target: Path, error: Exception) -> str | None:
    """Return the line for an error while `target` was written; None when it is another's."""
    text = str(error)
    if getattr(error, "errno", None) in FULL or any(words in text for words in FULL_WORDS):
        return f"{folder}: the disk is full; free some space and load again, nothing was changed"
    if isinstance(error, OSError):
        places = [str(p) for p in (error.filename, error.filename2) if p is not None]
        is_ours = any(Path(place).is_relative_to(folder) for place in places)
        return cannot_write(folder, error) if is_ours else None
    if target.name in text:
        return cannot_write(folder, error)
    return None


def is_damage(error: Exception) -> bool:
    """Say whether an error of the database means a file that is no whole database any more."""
    return any(words in str(error) for words in DAMAGE_WORDS)


def cannot_write(folder: Path, error: Exception) -> str:
    """Return the line for a folder that cannot be written to."""
    reason = getattr(error, "strerror", None) or _reason(str(error))
    return f"{folder}: cannot write there ({reason}); choose another --db, nothing was changed"


def _reason(text: str) -> str:
    for words in ("Read-only file system", "Permission denied", "No such file or directory"):
        if words in text:
            return words
    return text.splitlines()[0][:200]


SHOWN = 60  # characters of a refused value that a message repeats


def shown_value(value: object) -> str:
    """Return a refused value in quotes, short and printable; of tables and lists no more than that
    they are."""
    if isinstance(value, (dict, list, tuple)):
        return f"a {'table' if isinstance(value, dict) else 'list'} of {len(value):,}"
    try:
        text = str(value)
    except ValueError:  # an integer of thousands of digits
        return "a number of thousands of digits"
    short = text if len(text) <= SHOWN else f"{text[:SHOWN]}…"
    quoted = "".join(c if c.isprintable() else "�" for c in short)
    return f'"{quoted}"' if isinstance(value, str) else quoted
