"""A claimed table with its rows: those left in their file are read when their turn comes."""

from pathlib import Path

from etl.claim import Claim, content_hash
from etl.read import SourceTable, read_tables


class ClaimedRows:
    """Gives one claimed table after another; of files read anew only the last is kept."""

    def __init__(self) -> None:
        self._path: Path | None = None
        self._tables: list[SourceTable] = []

    def of(self, claim: Claim) -> SourceTable | None:
        """Return the table whole; None when its file is not what it was when it was claimed.

        Raises UnreadableFile.
        """
        if not claim.source.is_head:
            return claim.source
        if claim.path != self._path:
            self._tables = []  # first: never two files in memory
            self._tables = read_tables(claim.path)
            self._path = claim.path
            if content_hash(claim.path) != claim.content_hash:
                self._tables = []
        sheet, header = claim.source.sheet, claim.source.header
        return next((t for t in self._tables if (t.sheet, t.header) == (sheet, header)), None)
