"""The meaning of every number: SQL text and lookups by name, the only Python in this folder."""

import csv
import re
from functools import cache
from importlib.resources import files

SCHEMA_VERSION = "6"  # of the database file; another one is refused by loads and pages alike


@cache
def text(name: str) -> str:
    """Return the text of one SQL file, for example text("core/jobs")."""
    return (files(__name__) / f"{name}.sql").read_text(encoding="utf-8")


@cache
def constant(name: str) -> int:
    """Return a whole number that sql/core/rate_macros.sql defines as a macro without parameters."""
    (found,) = re.findall(rf"MACRO core\.{name}\(\) AS (\d+);", text("core/rate_macros"))
    return int(found)


@cache
def lookup(name: str) -> tuple[dict[str, str], ...]:
    """Return the rows of one file of lookups/, every cell as text, for example lookup("kinds")."""
    content = (files(__name__) / "lookups" / f"{name}.csv").read_text(encoding="utf-8")
    return tuple(csv.DictReader(content.splitlines()))
