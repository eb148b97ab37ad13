"""The base class of every error that pages and commands show in one line."""

from etl.folder.errors import UserError

__all__ = ["UserError"]
