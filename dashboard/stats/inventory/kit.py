"""What one kind of job needs from the van."""

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True)
class Kit:
    """Units of each part that one kind of job needs, and such jobs per van and period."""

    parts: Mapping[str, int]
    jobs: float
