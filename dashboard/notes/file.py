"""Read and write a file of notes: a TOML file of one array of tables, written in one step."""

import tomllib
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, TypeVar

import tomlkit
from pydantic import BaseModel, ConfigDict, ValidationError

from dashboard.errors import UserError
from etl.folder.atomic_write import write_whole
from etl.folder.one_change import one_change
from etl.folder.regular_file import small_text

MOST_NOTES = 1000  # of one file


class NotesError(UserError):
    """Notes that cannot be read or written; the message names file and entry."""


class Note(BaseModel):
    """One entry of a file of notes: known keys only, values of their own types."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True)


N = TypeVar("N", bound=Note)


def read_notes(folder: Path, file: str, key: str, kind: type[N]) -> list[N]:
    """Return the notes under a key of a file in the folder; none without the file.

    Raises NotesError with the file, the entry and what was wrong.
    """
    found = _content(folder, file).get(key, [])
    if not isinstance(found, list) or len(found) > MOST_NOTES:
        raise NotesError(f"{file}: {key} must be at most {MOST_NOTES} tables [[{key}]]; correct it")
    return [_checked(entry, kind, f"{file}, [[{key}]] {n}") for n, entry in enumerate(found, 1)]


def alter_notes(
    folder: Path, file: str, key: str, kind: type[N], alter: Callable[[list[N]], Sequence[N]]
) -> None:
    """Replace the notes under a key by what `alter` makes of them; other keys stay as they are.

    One change at a time; a load may run meanwhile. Raises NotesError; then the file is unchanged.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with one_change(folder):
            content = _content(folder, file)
            altered = alter(read_notes(folder, file, key, kind))
            content[key] = [note.model_dump(exclude_none=True) for note in altered]
            write_whole(folder / file, tomlkit.dumps(content).encode("utf-8"))
    except OSError as error:
        raise NotesError(f"{folder / file}: cannot be written ({error.strerror})") from None


def checked_note(kind: type[N], values: dict[str, Any], where: str) -> N:
    """Return the values as a note; raise NotesError that says what was wrong."""
    return _checked(values, kind, where)


def _content(folder: Path, file: str) -> dict[str, Any]:
    try:
        return tomllib.loads(small_text(folder / file))
    except (FileNotFoundError, NotADirectoryError):
        return {}
    except OSError as error:
        raise NotesError(f"{file}: cannot be read ({error.strerror})") from None
    except (ValueError, RecursionError) as error:
        reason = "nested too deep" if isinstance(error, RecursionError) else error
        raise NotesError(f"{file}: not a TOML file ({reason}); correct that line") from None


def _checked(entry: Any, kind: type[N], where: str) -> N:
    try:
        return kind.model_validate(entry)
    except ValidationError as problem:
        first = problem.errors()[0]
        field = ".".join(str(part) for part in first["loc"]) or "entry"
        reason = str(first["msg"]).removeprefix("Value error, ")
        raise NotesError(f"{where}: {field}: {reason}; correct it") from None
