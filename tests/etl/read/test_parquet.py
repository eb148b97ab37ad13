"""Parquet: every type of column as the text that a shop would have written."""

import io
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from pathlib import Path

import pyarrow as pa
import pyarrow.parquet as pq
import pytest

from etl.read import Limits, SourceTable, UnreadableFile, read_tables

MOMENT = datetime(2026, 3, 2, 10, 20)


def read(folder: Path, table: pa.Table, limits: Limits | None = None) -> SourceTable:
    path = folder / "export.parquet"
    pq.write_table(table, path)
    (found,) = read_tables(path, limits)
    return found


@pytest.mark.parametrize(
    ("array", "texts"),
    [
        (pa.array(["007", "", " x ", None]), ["007", None, " x ", None]),
        (pa.array(["a", "b", "a"]).dictionary_encode(), ["a", "b", "a"]),
        (pa.array(["a", None], pa.large_string()), ["a", None]),
        (pa.array([7, None, -3], pa.int8()), ["7", None, "-3"]),
        (pa.array([2**63 + 1], pa.uint64()), ["9223372036854775809"]),
        (pa.array([9.4, 9.0, 1e20, 1e-7]), ["9.4", "9", "100000000000000000000", "0.0000001"]),
        (pa.array([float("nan"), float("inf"), None]), [None, "inf", None]),
        (pa.array([9.4], pa.float32()), ["9.4"]),
        (pa.array([Decimal("1.20"), Decimal("-0.05")]), ["1.20", "-0.05"]),
        (pa.array([Decimal("1E-10")], pa.decimal128(20, 10)), ["0.0000000001"]),
        (pa.array([True, False, None]), ["true", "false", None]),
        (pa.array([date(2026, 3, 2)]), ["2026-03-02"]),
        (pa.array([MOMENT, datetime(2026, 3, 2)]), ["2026-03-02T10:20:00", "2026-03-02"]),
        (pa.array([MOMENT], pa.timestamp("s")), ["2026-03-02T10:20:00"]),
        (pa.array([MOMENT + timedelta(milliseconds=250)]), ["2026-03-02T10:20:00.25"]),
        (pa.array([MOMENT.replace(tzinfo=UTC)]), ["2026-03-02T10:20:00Z"]),
        (
            pa.array([datetime(2026, 7, 1, 8, 0, tzinfo=UTC)], pa.timestamp("us", "Europe/Berlin")),
            ["2026-07-01T08:00:00Z"],
        ),
        (pa.array([time(9, 5)]), ["09:05:00"]),
        (pa.array([timedelta(minutes=80), timedelta(seconds=90)]), ["80 min", "1.5 min"]),
        (pa.array([b"text", None]), ["text", None]),
        (pa.array([b"\xff\x00", None]), ["ff00", None]),
        (pa.array([["A1", "B2"], None]), ['["A1", "B2"]', None]),
        (pa.array([{"ohm": 9.4, "at": "L1"}]), ['{"ohm": 9.4, "at": "L1"}']),
        (pa.nulls(2), [None, None]),
    ],
    ids=lambda value: str(value.type) if isinstance(value, pa.Array) else "",
)
def test_a_column_becomes_text(tmp_path, array, texts):
    table = read(tmp_path, pa.table({"value": array}))
    assert table.table.column(0).to_pylist() == texts
    assert table.table.column(0).type == pa.string()


def test_rows_are_counted_from_one_through_row_groups_and_batches(tmp_path):
    path = tmp_path / "export.parquet"
    pq.write_table(pa.table({"n": range(45_000)}), path, row_group_size=10_000)
    (table,) = read_tables(path)
    assert table.row_numbers.to_pylist() == list(range(1, 45_001))
    assert table.table.column(0).to_pylist() == [str(n) for n in range(45_000)]


def test_repeated_names_are_distinguished(tmp_path):
    table = read(tmp_path, pa.table([pa.array([1]), pa.array([2])], names=["ohm", "ohm"]))
    assert table.header == ["ohm", "ohm (2)"]
    assert [column.to_pylist() for column in table.table.columns] == [["1"], ["2"]]


def test_a_file_without_a_row_is_a_header_only(tmp_path):
    with pytest.raises(UnreadableFile) as refused:
        read(tmp_path, pa.table({"n": pa.array([], pa.int32())}))
    assert refused.value.problem == "header_only"


def test_the_limits_hold(tmp_path):
    with pytest.raises(UnreadableFile, match="3 rows"):
        read(tmp_path, pa.table({"n": [1, 2, 3]}), Limits(max_rows=2))
    with pytest.raises(UnreadableFile, match="2 columns"):
        read(tmp_path, pa.table({"n": [1], "m": [2]}), Limits(max_columns=1))
    with pytest.raises(UnreadableFile, match="unpacks to far too much"):
        read(tmp_path, pa.table({"n": ["x" * 5000] * 500}), Limits(max_unzipped_bytes=1_000_000))


@pytest.mark.parametrize("share", [0.1, 0.5, 0.9, 0.99])
def test_a_file_cut_anywhere_is_named(tmp_path, share):
    buffer = io.BytesIO()
    pq.write_table(pa.table({"n": range(1000)}), buffer)
    path = tmp_path / "export.parquet"
    path.write_bytes(buffer.getvalue()[: int(share * buffer.tell())])
    with pytest.raises(UnreadableFile) as refused:
        read_tables(path)
    assert refused.value.problem == "truncated_parquet"


def test_text_under_a_parquet_name_is_read(tmp_path):
    path = tmp_path / "export.parquet"
    path.write_bytes(b"a,b\n1,2\n")
    assert read_tables(path)[0].header == ["a", "b"]
