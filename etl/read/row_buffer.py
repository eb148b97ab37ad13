"""Rows of text, gathered in chunks: a large file is never held as Python objects."""

from collections.abc import Sequence

import pyarrow as pa
import pyarrow.compute as pc

from etl.read.source_table import Limits, UnreadableFile

CHUNK_ROWS = 20_000


class TextRows:
    """Takes rows one by one and gives an Arrow table of text columns c0, c1, …

    Empty text becomes null. Rows without any content are kept when a row with content follows;
    those at the end of a file are fill and are only counted.
    """

    def __init__(self, file: str, width: int, limits: Limits) -> None:
        self.file = file
        self.limits = limits
        self.schema = pa.schema([(f"c{i}", pa.string()) for i in range(width)])
        self.trailing_empty: list[int] = []
        self._rows: list[Sequence[str | None]] = []
        self._numbers: list[int] = []
        self._batches: list[pa.RecordBatch] = []
        self._number_chunks: list[pa.Array] = []
        self._count = 0

    def add(self, number: int, cells: Sequence[str | None]) -> None:
        """Take one row; raises UnreadableFile above the limits."""
        if not any(cells):  # blanks alone are content: RFC 4180 keeps them
            self.trailing_empty.append(number)
            return
        for empty in self.trailing_empty:
            self._keep(empty, [None] * len(self.schema))
        self.trailing_empty.clear()
        self._keep(number, cells)

    def _keep(self, number: int, cells: Sequence[str | None]) -> None:
        self._rows.append(cells)
        self._numbers.append(number)
        self._count += 1
        if self._count > self.limits.max_rows:
            raise UnreadableFile(self.file, "too_large", f"more than {self.limits.max_rows:,} rows")
        if len(self._rows) == CHUNK_ROWS:
            self._flush()

    def _flush(self) -> None:
        arrays = [
            _without_empty(pa.array(cells, pa.string())) for cells in zip(*self._rows, strict=True)
        ]
        for array in arrays:
            longest = pc.max(pc.utf8_length(array)).as_py() or 0
            if longest > self.limits.max_cell_chars:
                where = f"{longest:,} characters in one cell, row {self._numbers[0]} or later"
                raise UnreadableFile(self.file, "line_too_long", where)
        self._batches.append(pa.record_batch(arrays, schema=self.schema))
        self._number_chunks.append(pa.array(self._numbers, pa.int64()))
        self._rows, self._numbers = [], []

    def finish(self) -> tuple[pa.Table, pa.Array]:
        """Return the table and the rows' own numbers."""
        if self._rows:
            self._flush()
        numbers = pa.chunked_array(self._number_chunks, pa.int64()).combine_chunks()
        return pa.Table.from_batches(self._batches, self.schema), numbers

    @property
    def is_empty(self) -> bool:
        """Say whether no row was kept."""
        return self._count == 0

    def notes(self) -> list[str]:
        """Note the rows without content that were left out at the end."""
        count = len(self.trailing_empty)
        return [f"{count:,} rows without any content at the end were left out"] if count else []


def _without_empty(texts: pa.Array) -> pa.Array:
    return pc.if_else(pc.equal(texts, ""), pa.scalar(None, pa.string()), texts)
