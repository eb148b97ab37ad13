"""One source table → raw rows: columns named, personal data hashed with a key at the door."""

import json
from dataclasses import dataclass
from typing import Any

import duckdb
import pyarrow as pa
import pyarrow.compute as pc

from etl.mapping.fields import fields_of, folded
from etl.mapping.match import Claim
from etl.mapping.schema import WORD_FIELDS
from etl.personal.keyed_hash import keyed_column
from etl.personal.redact_names import shown_columns
from etl.raw.clean_text import by_distinct, on_one_line, trimmed, without_contact
from etl.raw.land_notes import NoteCounts, note_readings
from etl.raw.land_parts import part_columns
from etl.raw.land_times import time_units

ROW_SPAN = 4294967296  # row_id = source_id * ROW_SPAN + row_no, so order of rows = order of ids
ROW_GROUP = 122_880  # rows that DuckDB compresses together: scanned in ragged pieces costs a third
HASHED = ("customer", "serial")
DROPPED = ("notes", "parts")  # read on ingest, never stored
NOT_STORED = {"part_lines": ("line_type",)}
CORRECTS = ("corrects row", "mends")  # headers of the row that one corrects: now, formerly
EXPORT_COLUMNS = {*CORRECTS, "reasons"}  # added by the quarantine export
AS_WRITTEN = (*HASHED, "notes", "parts")  # their line ends mean something to who reads them


@dataclass(frozen=True)
class Landed:
    """What landing found besides the rows: readings in notes, and the unit of each time field."""

    notes: NoteCounts
    time_units: dict[str, str]


INSERTS = {
    "jobs": "INSERT INTO raw.jobs BY NAME SELECT * FROM landing",
    "visits": "INSERT INTO raw.visits BY NAME SELECT * FROM landing",
    "readings": "INSERT INTO raw.readings BY NAME SELECT * FROM landing",
    "part_lines": "INSERT INTO raw.part_lines BY NAME SELECT * FROM landing",
}


def land(
    connection: duckdb.DuckDBPyConnection, claim: Claim, source_id: int, secret: bytes
) -> Landed:
    """Insert the rows of one claimed table into the raw tables, as source `source_id`.

    Returns the units of its times, and what was read and not understood in its notes, which are not
    stored. Raises MappingError for a column of times that nothing gives a unit.
    """
    columns = _mapped_columns(claim)
    if claim.table.make_job_number:
        columns["job_id"] = made_numbers(columns, secret)
    units = time_units(claim, columns)
    row_numbers = claim.source.row_numbers
    ids = {
        "row_id": pc.add(pa.scalar(source_id * ROW_SPAN, pa.int64()), row_numbers),
        "source_id": _repeated(source_id, len(row_numbers)),
        "row_no": row_numbers,
    }
    stored = {
        name: _stored(name, column, secret)
        for name, column in columns.items()
        if name not in DROPPED and name not in NOT_STORED.get(claim.table.table, ())
    }
    items = {"item_no": _repeated(0, len(row_numbers))}
    origin = {"origin": _repeated("row", len(row_numbers))}
    extra = items | origin if claim.table.table in ("readings", "part_lines") else {}
    _insert(connection, claim.table.table, pa.table(ids | extra | stored))
    _land_columns(connection, claim, ids, columns)
    _land_bad_rows(connection, claim, source_id)
    if "notes" not in columns:
        return Landed(NoteCounts(), units)
    readings, counts = note_readings(claim, ids, columns)
    if counts.readings:
        _insert(connection, "readings", pa.table(readings))
    return Landed(counts, units)


def made_numbers(columns: dict[str, Any], secret: bytes) -> pa.ChunkedArray:
    """Return a job number made of the day and the customer's key, null where one is missing."""
    days = columns["opened_on"]
    keys = pc.utf8_slice_codeunits(keyed_column(secret, columns["customer"]), 0, 8)
    joined = pc.binary_join_element_wise(days, keys, "-", null_handling="emit_null")
    return joined if isinstance(joined, pa.ChunkedArray) else pa.chunked_array([joined])


def _repeated(value: int | str, count: int) -> pa.Array:
    kind = pa.int32() if isinstance(value, int) else pa.string()
    return pa.repeat(pa.scalar(value, kind), count)


def header_of(claim: Claim) -> str:
    """Return the source's header, as it may be shown, and our name of each column, as JSON text."""
    names = {folded(h): field for field, hs in claim.table.columns.items() for h in hs}
    fields = [names.get(folded(h), "") for h in claim.source.header]
    return json.dumps(list(zip(_shown(claim), fields, strict=True)))


def unmapped(claim: Claim) -> list[str]:
    """List the columns of the source that no field uses, as they may be shown."""
    used = {folded(h) for h in claim.table.headers()} | EXPORT_COLUMNS
    named = zip(claim.source.header, _shown(claim), strict=True)
    return [shown for name, shown in named if folded(name) not in used]


def _shown(claim: Claim) -> list[str]:
    return shown_columns(claim.source.header, claim.table.headers())


def _mapped_columns(claim: Claim) -> dict[str, pa.ChunkedArray]:
    positions = {folded(name): i for i, name in enumerate(claim.source.header)}
    table = claim.source.table
    columns = {}
    for field, headers in claim.table.columns.items():
        found = [
            _cells(table.column(positions[folded(h)]), field)
            for h in headers
            if folded(h) in positions
        ]
        if found:
            columns[field] = found[0] if len(found) == 1 else _joined(found)
    corrects = next((name for name in CORRECTS if name in positions), None)
    if corrects and "mends" not in columns:
        columns["mends"] = by_distinct(table.column(positions[corrects]), trimmed)
    for field, value in claim.table.constants.items():
        if field in fields_of(claim.table.table):
            columns[field] = _cells(pa.chunked_array([_repeated(value, table.num_rows)]), field)
    return columns


def _cells(column: pa.ChunkedArray, field: str) -> pa.ChunkedArray:
    return by_distinct(column, trimmed if field in AS_WRITTEN else on_one_line)


def _joined(columns: list[pa.ChunkedArray]) -> pa.ChunkedArray:
    joined = pc.binary_join_element_wise(*[pc.fill_null(c, "") for c in columns], " ")
    return by_distinct(joined, trimmed)


def _stored(name: str, column: pa.ChunkedArray, secret: bytes) -> pa.Array | pa.ChunkedArray:
    if name in HASHED:
        return keyed_column(secret, column)
    if name in WORD_FIELDS:
        return by_distinct(column, without_contact)
    return column


def _insert(connection: duckdb.DuckDBPyConnection, table: str, rows: pa.Table) -> None:
    batches = rows.combine_chunks().to_batches(max_chunksize=ROW_GROUP)
    connection.register("landing", pa.Table.from_batches(batches, rows.schema))
    connection.execute(INSERTS[table])
    connection.unregister("landing")


def _land_columns(
    connection: duckdb.DuckDBPyConnection,
    claim: Claim,
    ids: dict[str, Any],
    columns: dict[str, Any],
) -> None:
    """Melt readings that are in columns of their own, and parts written in one cell."""
    positions = {folded(name): i for i, name in enumerate(claim.source.header)}
    present = [
        (point, _cells(claim.source.table.column(positions[folded(header)]), "value"))
        for header, point in claim.table.readings.items()
        if folded(header) in positions
    ]
    for item_no, (point, values) in enumerate(present, start=1):
        cells = {
            "item_no": _repeated(item_no, len(values)),
            "origin": _repeated("column", len(values)),
            "job_id": columns["job_id"],
            "test_point": _repeated(point, len(values)),
            "value": values,
        }
        _insert(connection, "readings", pa.table(ids | cells).filter(pc.is_valid(values)))
    if "parts" in columns:
        _insert(connection, "part_lines", pa.table(part_columns(ids, columns)))


def _land_bad_rows(connection: duckdb.DuckDBPyConnection, claim: Claim, source_id: int) -> None:
    rows = [(source_id, bad.row_number, bad.code, None) for bad in claim.source.bad_rows]
    if rows:
        connection.executemany("INSERT INTO raw.bad_rows VALUES (?, ?, ?, ?)", rows)
