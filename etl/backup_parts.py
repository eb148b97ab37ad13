"""What a backup may hold: the parts, their names and sizes, and whether each can be used."""

import fnmatch
import json
from collections.abc import Sequence
from pathlib import Path
from typing import Annotated, Literal, get_args

from pydantic import BaseModel, ConfigDict, Field

from etl.folder.one_change import PRICES
from etl.folder.publish import PublishError
from etl.folder.shop_key import KEY_FILE, KeyFileError, check_fingerprint, unit_key
from etl.mapping.mapping import MappingError, read_mapping
from etl.raw.own_limits import LIMITS, METERS, own_limits, own_meters
from etl.raw.store import LoadError

DATABASE, CONTENTS = "warehouse.duckdb", "contents.json"
Form = Literal["ohmhours backup 1"]
FORM: str = get_args(Form)[0]
SETTINGS = "ohmhours.toml"
NOTES = ("changes.toml", "talks.toml")  # what people noted: dashboard/notes
OTHER_FILES = (KEY_FILE, SETTINGS, *NOTES, LIMITS, METERS, PRICES, "mappings/*.toml")
MOST_DATABASE_BYTES, MOST_OTHER_BYTES = 1 << 40, 1 << 24  # of one part, unpacked
MOST_PARTS, MOST_NAME = 5000, 200
REFUSED_SIGNS = frozenset('\\:*?"<>|')  # some systems give them a meaning in a name


class BackupError(PublishError):
    """A backup that cannot be written or read; nothing was changed."""


class Part(BaseModel):
    """One file of a backup: its name in it, its bytes and their SHA-256."""

    model_config = ConfigDict(strict=True, extra="forbid", frozen=True)
    name: str
    size: Annotated[int, Field(ge=0)]
    sha256: Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")]


class _Contents(BaseModel):
    model_config = ConfigDict(strict=True, extra="forbid")
    form: Form
    parts: Annotated[list[Part], Field(max_length=MOST_PARTS)]


def parts_of(contents: bytes) -> list[Part]:
    """Return the parts that the table of contents lists; raise ValueError for what may not be."""
    document = json.loads(contents)
    form = document.get("form")
    if form != FORM:
        raise ValueError(f"its form is {str(form)[:40]!a}, wanted {FORM!r}")
    parts = _Contents.model_validate(document).parts
    check_parts(parts)
    return parts


def check_parts(parts: Sequence[Part]) -> None:
    """Raise BackupError unless these may be the parts of a backup, all of them."""
    names = [part.name for part in parts]
    for part in parts:
        if not _belongs(part.name):
            raise BackupError(f"{part.name[:80]!a} does not belong in it; rename or move that file")
        most = MOST_DATABASE_BYTES if part.name == DATABASE else MOST_OTHER_BYTES
        if part.size > most:
            raise BackupError(f"{part.name}: {part.size:,} bytes; at most {most:,} are taken")
    if len({name.casefold() for name in names}) < len(names):
        raise BackupError("two parts have one name; rename one of them")
    if DATABASE not in names or KEY_FILE not in names:
        raise BackupError("the database or its key is not in it")


def _belongs(name: str) -> bool:
    """Say whether a name is one of ours, in the folder itself or that of the mappings."""
    if not any(fnmatch.fnmatchcase(name, pattern) for pattern in (DATABASE, *OTHER_FILES)):
        return False
    last = name.removeprefix("mappings/")
    is_plain = last.isprintable() and not REFUSED_SIGNS & set(last) and len(last) <= MOST_NAME
    return is_plain and "/" not in last and not last.startswith(".")


def check_other_files(folder: Path, version: Path) -> None:
    """Raise BackupError unless key, mappings, limits and meters of a folder can be used."""
    try:
        key = unit_key(folder)
        check_fingerprint(key, version, folder / KEY_FILE)
        for path in sorted((folder / "mappings").glob("*.toml")):
            read_mapping(path)
        own_limits(folder)
        own_meters(folder)
    except (KeyFileError, MappingError, LoadError) as problem:
        raise BackupError(f"{problem}; no backup is made or restored with it") from None
