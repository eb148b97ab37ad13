"""Jinja2 templates of printed pages: every value is escaped, a missing one is an error."""

from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined


def templates(*folders: Path) -> Environment:
    """Return the templates of these folders, the first that holds a name first."""
    return Environment(
        loader=FileSystemLoader(folders),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
