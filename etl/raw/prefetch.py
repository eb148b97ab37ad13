"""A claimed table with its rows: those left in their file are read when their turn comes."""

from collections.abc import Iterable
from concurrent.futures import Future, ThreadPoolExecutor
from pathlib import Path

from etl.mapping.match import Claim, content_hash
from etl.read import SourceTable, read_tables


class ClaimedRows:
    """Gives claimed tables in order, each whole; while one is landed the next file is read.

    No other file is in memory. To be used in a `with` block, which ends when no reading runs.
    """

    def __init__(self, claims: Iterable[Claim]) -> None:
        left = [c for c in claims if c.source.is_head]
        self._limits = {c.path: c.limits for c in left}
        self._to_come = list(self._limits)
        self._reader = ThreadPoolExecutor(1)
        self._ahead: tuple[Path, Future[list[SourceTable]]] | None = None
        self._path: Path | None = None
        self._tables: list[SourceTable] = []

    def __enter__(self) -> "ClaimedRows":
        return self

    def __exit__(self, *error: object) -> None:
        self._reader.shutdown(cancel_futures=True)

    def of(self, claim: Claim) -> SourceTable | None:
        """Return the table whole; None when its file is not what it was when it was claimed.

        Raises UnreadableFile.
        """
        if not claim.source.is_head:
            return claim.source
        if claim.path != self._path:
            self._tables = []  # first: the last file goes before the next one comes
            self._tables, self._path = self._read(claim.path), claim.path
            if content_hash(claim.path) != claim.content_hash:
                self._tables = []
        sheet, header = claim.source.sheet, claim.source.header
        return next((t for t in self._tables if (t.sheet, t.header) == (sheet, header)), None)

    def _read(self, path: Path) -> list[SourceTable]:
        if self._ahead is not None and self._ahead[0] == path:
            reading = self._ahead[1]
        else:
            reading = self._submit(path)
        tables = reading.result()
        self._to_come = [other for other in self._to_come if other != path]
        self._ahead = None
        if self._to_come:
            following = self._to_come[0]
            self._ahead = (following, self._submit(following))
        return tables

    def _submit(self, path: Path) -> Future[list[SourceTable]]:
        return self._reader.submit(read_tables, path, self._limits[path])
