"""The meaning of every number: SQL text by name, the only Python in this folder."""

from functools import cache
from importlib.resources import files


@cache
def text(name: str) -> str:
    """Return the text of one SQL file, for example text("core/jobs")."""
    return (files(__name__) / f"{name}.sql").read_text(encoding="utf-8")
