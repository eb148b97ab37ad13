"""Parquet: any column type, as text."""

import json
from decimal import Decimal
from pathlib import Path

import pyarrow as pa
import pyarrow.compute as pc
import pyarrow.parquet as pq

from etl.read.cell_text import cell_text
from etl.read.source_table import Limits, SourceTable, UnreadableFile, unique

MAGIC = b"PAR1"
BATCH_ROWS = 20_000
FAULTS = (pa.ArrowException, OSError, ValueError, MemoryError, KeyError, TypeError, OverflowError)


def read_parquet(path: Path, content: bytes, limits: Limits) -> list[SourceTable]:
    """Read a Parquet file; rows are numbered from 1.

    Raises UnreadableFile when it is cut off, damaged, or would unpack to far too much.
    """
    if not content.endswith(MAGIC):
        raise UnreadableFile(path.name, "truncated_parquet")
    try:
        source = pq.ParquetFile(pa.BufferReader(content))
        _check(path.name, source.metadata, limits)
        batches, size = [], 0
        for batch in source.iter_batches(BATCH_ROWS):
            batch.validate(full=True)
            batches.append(_texts(batch))
            size += batches[-1].nbytes
            if size > limits.max_unzipped_bytes:
                raise UnreadableFile(path.name, "zip_bomb", f"more than {size:,} bytes of text")
    except FAULTS:
        raise UnreadableFile(path.name, "truncated_parquet") from None
    header, notes = unique(source.schema_arrow.names)
    schema = pa.schema([(f"c{i}", pa.string()) for i in range(len(header))])
    table = pa.Table.from_batches(batches, schema)
    numbers = pa.array(range(1, table.num_rows + 1), pa.int64())
    return [SourceTable(path.name, None, header, table, numbers, [], None, notes)]


def _check(file: str, metadata: pq.FileMetaData, limits: Limits) -> None:
    if metadata.num_columns > limits.max_columns:
        raise UnreadableFile(file, "too_many_columns", f"{metadata.num_columns:,} columns")
    if metadata.num_rows > limits.max_rows:
        raise UnreadableFile(file, "too_large", f"{metadata.num_rows:,} rows")
    groups = [metadata.row_group(i) for i in range(metadata.num_row_groups)]
    unpacked = sum(group.total_byte_size for group in groups)
    if unpacked > limits.max_unzipped_bytes:
        raise UnreadableFile(file, "zip_bomb", f"{unpacked:,} bytes")


def _texts(batch: pa.RecordBatch) -> pa.RecordBatch:
    arrays = [_text(column) for column in batch.columns]
    return pa.record_batch(arrays, names=[f"c{i}" for i in range(len(arrays))])


def _text(column: pa.Array) -> pa.Array:
    """Return a column as text: empty and NaN give null."""
    if isinstance(column.type, pa.BaseExtensionType):
        column = column.storage
    if pa.types.is_dictionary(column.type):
        column = column.dictionary_decode()
    text = _by_kind(column, column.type)
    return pc.if_else(pc.equal(text, ""), pa.scalar(None, pa.string()), text)


def _by_kind(column: pa.Array, kind: pa.DataType) -> pa.Array:
    types = pa.types
    if types.is_floating(kind):
        wide = column.cast(pa.float32()) if types.is_float16(kind) else column
        numbers = pc.if_else(pc.is_nan(wide), pa.scalar(None, wide.type), wide)
        return _in_plain_digits(numbers.cast(pa.string()))
    if types.is_decimal(kind):
        return _in_plain_digits(column.cast(pa.string()))
    if types.is_timestamp(kind):
        return _moments(column, kind)
    if types.is_time(kind):
        return _without_zero_fraction(column.cast(pa.string()))
    if types.is_duration(kind) or types.is_interval(kind):
        return pa.array([cell_text(value) for value in column.to_pylist()], pa.string())
    if types.is_binary(kind) or types.is_large_binary(kind) or types.is_fixed_size_binary(kind):
        return _bytes(column)
    if types.is_nested(kind):
        return pa.array([_json(value) for value in column.to_pylist()], pa.string())
    return column.cast(pa.string())


def _in_plain_digits(text: pa.Array) -> pa.Array:
    if not pc.any(pc.match_substring_regex(text, r"\d[eE]")).as_py():
        return text
    plain = [format(Decimal(t), "f") if t and "e" in t.lower() else t for t in text.to_pylist()]
    return pa.array(plain, pa.string())


def _moments(column: pa.Array, kind: pa.TimestampType) -> pa.Array:
    """Return ISO 8601; a moment with a time zone in UTC, one without at midnight as a date."""
    text = _without_zero_fraction(column.cast(pa.timestamp(kind.unit)).cast(pa.string()))
    text = pc.replace_substring(text, " ", "T")
    if kind.tz:
        return pc.binary_join_element_wise(text, pa.scalar("Z"), "")
    return pc.replace_substring_regex(text, "T00:00:00$", "")


def _without_zero_fraction(text: pa.Array) -> pa.Array:
    return pc.replace_substring_regex(
        pc.replace_substring_regex(text, r"(\.\d*?)0+$", r"\1"), r"\.$", ""
    )


def _bytes(column: pa.Array) -> pa.Array:
    """Return bytes as the text that they spell, as hex digits where they spell none."""
    try:
        return column.cast(pa.binary()).cast(pa.string())
    except pa.ArrowInvalid:
        return pa.array([v if v is None else v.hex() for v in column.to_pylist()], pa.string())


def _json(value: object) -> str | None:
    return None if value is None else json.dumps(value, ensure_ascii=False, default=str)
