"""Parquet: any column type, as text."""

import io
from pathlib import Path

import pyarrow as pa
import pyarrow.compute as pc
import pyarrow.parquet as pq

from etl.read.source import Limits, SourceTable, UnreadableFile, unique


def read_parquet(path: Path, content: bytes, limits: Limits) -> list[SourceTable]:
    """Read a Parquet file; rows are numbered from 1."""
    try:
        source = pq.read_table(io.BytesIO(content))
    except (pa.ArrowException, OSError, ValueError):
        raise UnreadableFile(path.name, "truncated_parquet") from None
    if source.num_columns > limits.max_columns:
        raise UnreadableFile(path.name, "too_many_columns", f"{source.num_columns} columns")
    columns = {f"c{i}": _text(source.column(i)) for i in range(source.num_columns)}
    numbers = pa.array(range(1, source.num_rows + 1), pa.int64())
    header = unique(source.schema.names)
    return [SourceTable(path.name, None, header, pa.table(columns), numbers)]


def _text(column: pa.ChunkedArray) -> pa.ChunkedArray:
    kind = column.type
    if pa.types.is_dictionary(kind):
        column = column.cast(kind.value_type)
        kind = column.type
    if pa.types.is_floating(kind):
        texts = [_number(value) for value in column.to_pylist()]
        return pa.chunked_array([pa.array(texts, pa.string())])
    if pa.types.is_nested(kind) or pa.types.is_binary(kind) or pa.types.is_timestamp(kind):
        texts = [None if value is None else str(value) for value in column.to_pylist()]
        return pa.chunked_array([pa.array(texts, pa.string())])
    cast = column.cast(pa.string())
    return pc.if_else(pc.equal(cast, ""), pa.scalar(None, pa.string()), cast)


def _number(value: float | None) -> str | None:
    if value is None or value != value:
        return None
    return str(int(value)) if value.is_integer() and abs(value) < 1e15 else repr(value)
