"""A request to unpickle: its module imports the package around it."""

from dataclasses import dataclass


@dataclass
class Request:
    """Asks for a number."""

    number: int
